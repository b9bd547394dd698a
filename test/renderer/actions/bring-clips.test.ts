import { expect, it } from "vitest";
import { createBringClips } from "../../../src/renderer/actions/bring-clips.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { ClipEntry } from "../../../src/shared/api/contract.ts";
import type { AddedClip, JobReply } from "../../../src/shared/api/job-contract.ts";
import { type Fault, FaultError } from "../../../src/shared/quantity/notice.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";

const entry = (name: string): ClipEntry => ({ name, bytes: 4, modifiedMs: 1000.7 });
const fileOf = (name: string, text = "more", lastModified = 2000) => new File([text], name, { lastModified });

/**
 * A window on a folder with "shot.mp4", which has its shot, and "new.mp4", which has none.
 * @param outcome what comes of a clip that is brought: its name there, null when it is stopped, or a fault
 */
function bench(outcome: (name: string) => string | null | FaultError, path: string | null = null) {
  const session = { ...freshSession("t"), shots: [freshShot("shot-1", "Shot 1", "shot.mp4")] };
  const clips = [entry("new.mp4"), entry("shot.mp4")];
  const store = createStore<AppState>({ ...emptyState(session), clips });
  const log: string[] = [];
  const told: Fault[] = [];
  const bring = createBringClips({
    store,
    service: { pathOf: () => path },
    jobs: {
      async addClip(_key, file, ofAll) {
        log.push(`bring ${file.name}${ofAll}`);
        const name = outcome(file.name);
        if (name instanceof FaultError) throw name;
        if (name === null) return { state: "cancelled" } as JobReply;
        const added: AddedClip = { name, copied: true };
        if (!store.get().clips.some((clip) => clip.name === name))
          store.set({ ...store.get(), clips: [...store.get().clips, entry(name)] });
        return { state: "done", added } as JobReply;
      },
    },
    tell: (_level, fault) => told.push(fault),
    lookAtFolder: async () => void log.push("look"),
    present: () => {},
    addShot: ({ name }) => log.push(`shot of ${name}`),
    addShots: (all) => log.push(`shots of ${all.map(({ name }) => name).join(" ")}`),
    chooseShot: (id) => log.push(`show ${id}`),
  });
  return { bring, log, told };
}

it("brings clips one after the other, then makes shots of all of them in one step", async () => {
  const { bring, log, told } = bench((name) => name);
  await bring([fileOf("a.mp4"), fileOf("b.MOV")]);
  expect(log).toEqual(["bring a.mp4 (1 of 2)", "bring b.MOV (2 of 2)", "look", "shots of a.mp4 b.MOV"]);
  expect(told).toEqual([]);
});

it("shows the shot of a clip that has one, and makes one of a clip that has none, without sending them", async () => {
  const { bring, log } = bench((name) => name);
  await bring([fileOf("shot.mp4", "clip", 1000)]);
  await bring([fileOf("new.mp4", "clip", 1000)]);
  expect(log).toEqual(["look", "show shot-1", "look", "shot of new.mp4"]);
});

it.each([
  ["another length", fileOf("shot.mp4", "longer", 1000)],
  ["another time", fileOf("shot.mp4", "clip", 1001)],
])("sends a file of a clip's name with %s", async (_what, file) => {
  const { bring, log, told } = bench(() => "shot (2).mp4");
  await bring([file]);
  expect(log).toEqual(["bring shot.mp4", "look", "shot of shot (2).mp4"]);
  expect(told.map(({ cause }) => cause)).toEqual([
    "The folder already has another clip called shot.mp4, so the new one is called shot (2).mp4 there.",
  ]);
});

it("leaves it to the host where it knows the path, even for a clip that looks like one of the folder", async () => {
  const { bring, log } = bench((name) => name, "/card/shot.mp4");
  await bring([fileOf("shot.mp4", "clip", 1000)]);
  expect(log).toEqual(["bring shot.mp4", "look", "show shot-1"]);
});

it("says what is no clip and brings the others", async () => {
  const { bring, log, told } = bench((name) => name);
  await bring([fileOf("photo.jpg")]);
  await bring([fileOf("notes.txt"), fileOf("a.mp4"), fileOf("photo.jpg")]);
  expect(told.map(({ cause }) => cause)).toEqual([
    "photo.jpg is not a clip, so it was left where it is.",
    "notes.txt and 1 more are not clips, so they were left where they are.",
  ]);
  expect(log).toEqual(["bring a.mp4", "look", "shot of a.mp4"]);
});

it("stops with the clip that is stopped, and makes shots of those before it", async () => {
  const { bring, log } = bench((name) => (name === "b.mp4" ? null : name));
  await bring(["a.mp4", "b.mp4", "c.mp4"].map((name) => fileOf(name)));
  expect(log).toEqual(["bring a.mp4 (1 of 3)", "bring b.mp4 (2 of 3)", "look", "shot of a.mp4"]);
});

it("goes on after a clip that is refused, and not where every clip would be", async () => {
  const refused = (code: "disk-full" | "folder-read-only") => (name: string) =>
    name === "a.mp4" ? new FaultError(code, "Cause.", "Remedy.") : name;
  const full = bench(refused("disk-full"));
  await full.bring([fileOf("a.mp4"), fileOf("b.mp4")]);
  expect(full.log).toEqual(["bring a.mp4 (1 of 2)", "bring b.mp4 (2 of 2)", "look", "shot of b.mp4"]);
  const locked = bench(refused("folder-read-only"));
  await locked.bring([fileOf("a.mp4"), fileOf("b.mp4")]);
  expect([locked.log, locked.told.map(({ code }) => code)]).toEqual([
    ["bring a.mp4 (1 of 2)"],
    ["folder-read-only"],
  ]);
});

it("says that all of several clips have their shots, and takes one drop after the other", async () => {
  const { bring, log, told } = bench((name) => (name === "a.mp4" ? "shot.mp4" : name));
  await Promise.all([bring([fileOf("a.mp4"), fileOf("shot.mp4", "clip", 1000)]), bring([fileOf("b.mp4")])]);
  expect(log).toEqual([
    "bring a.mp4 (1 of 2)",
    "look",
    "show shot-1",
    "bring b.mp4",
    "look",
    "shot of b.mp4",
  ]);
  expect(told.map(({ code }) => code)).toEqual(["clip-renamed"]);
});
