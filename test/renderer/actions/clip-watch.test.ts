import { expect, it } from "vitest";
import { createActions } from "../../../src/renderer/actions/actions.ts";
import { sessionOf } from "../../../src/renderer/app-state/app-state.ts";
import type { Service } from "../../../src/renderer/host/service.ts";
import type { JobRequest } from "../../../src/shared/api/job-contract.ts";
import { refusedShot } from "../../../src/shared/measure/refused-shot.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { afterSteps, type JournalStep } from "../../../src/shared/session/journal.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";

const print = (digit: string) => `sha256-${digit.repeat(64)}`;

interface File {
  readonly bytes: number;
  readonly modifiedMs: number;
  readonly print: string;
}

const file = (digit: string, bytes = 1000, modifiedMs = 1): File => ({
  bytes,
  modifiedMs,
  print: print(digit),
});

/**
 * A window over a folder of files in memory. `read` holds the fingerprints that the
 * service knows without reading.
 */
function bench(files: Record<string, File>, session: Session, known: readonly string[] = []) {
  const disk = { files, session, saves: 0, away: false, stopped: false };
  const read = new Set(known);
  const asked: string[] = [];
  const timers: (() => void)[] = [];
  const measured: { shot: string; refused: boolean }[] = [];
  const service = {
    session: async () => ({
      session: disk.session,
      revision: `r${disk.saves}`,
      folderName: "f",
      existed: true,
      before: null,
    }),
    async saveSteps(steps: readonly JournalStep[]) {
      disk.session = afterSteps(disk.session, steps);
      return `r${++disk.saves}`;
    },
    undoSteps: async () => null,
    jobs: async () => [],
    damage: async () => [],
    measured: async () => [],
    keepMeasured: async () => {},
    async clips() {
      if (disk.away) throw new FaultError("folder-gone", "The folder is gone.", "Put the card back.");
      return Object.entries(disk.files).map(([name, { bytes, modifiedMs }]) => ({ name, bytes, modifiedMs }));
    },
    async job(request: JobRequest) {
      const clip = "clip" in request ? request.clip : "";
      asked.push(`${request.kind} ${clip}`);
      const found = disk.files[clip];
      if (found === undefined)
        throw new FaultError("no-such-clip", `There is no clip "${clip}".`, "Copy it.");
      if (request.kind === "fingerprint" && disk.stopped) return { state: "cancelled", facts: null };
      if (request.kind === "fingerprint") read.add(found.print);
      const { bytes, modifiedMs } = found;
      const facts = { name: clip, bytes, modifiedMs, pts: [0, 1, 2], timeBase: [1, 30] };
      return {
        state: "done",
        facts: facts as unknown as ClipFacts,
        fingerprint: read.has(found.print) ? found.print : null,
      };
    },
    host: async () => ({ host: "test", id: "f", folder: "/card/f", name: "f", canPickFolder: false }),
  } as unknown as Service;
  const actions = createActions({
    service,
    async measure({ session: of, shotId, refused }) {
      measured.push({ shot: shotId, refused: refused !== null });
      const shot = of.shots.find(({ id }) => id === shotId)!;
      if (refused !== null) return refusedShot(shotId, launchInputs(of, shot), refused);
      return {
        shotId,
        measurement: {},
        prediction: null,
        comparison: null,
        notices: [],
      } as unknown as ShotResult;
    },
    later(run) {
      timers.push(run);
      return () => {
        if (timers.includes(run)) timers.splice(timers.indexOf(run), 1);
      };
    },
    unsaved: { keep: () => true, clear() {}, left: () => [], forget() {} },
    now: () => new Date("2026-05-01T10:00:00Z"),
  });
  const settle = async () => {
    for (let i = 0; i < 8; i++) await new Promise((resolve) => setImmediate(resolve));
  };
  const ring = async () => {
    for (const run of timers.splice(0)) run();
    await settle();
  };
  const open = async () => {
    await actions.open();
    await settle();
  };
  const look = async () => {
    await actions.lookAtFolder();
    await settle();
  };
  const clips = () => sessionOf(actions.store.get()).clips;
  return { actions, disk, asked, measured, open, ring, look, settle, clips };
}

const shot = (id: string, clip: string) => freshShot(id, id, clip);
const noted = (name: string, { bytes, print: fingerprint }: File) => ({ name, bytes, fingerprint });
const session = (clip: string, of?: File): Session => ({
  ...freshSession("t"),
  shots: [shot("shot-1", clip)],
  ...(of === undefined ? {} : { clips: [noted(clip, of)] }),
});

it("measures a clip seen for the first time at once, reads it later, and notes it without a step of undo", async () => {
  const { actions, disk, asked, measured, open, ring, clips } = bench(
    { "a.mp4": file("1") },
    session("a.mp4"),
  );
  await open();
  expect([asked, measured.length, clips()]).toEqual([["inspect a.mp4"], 1, undefined]);
  await ring();
  await ring(); // the save
  expect(clips()).toEqual([noted("a.mp4", file("1"))]);
  expect(disk.session.clips).toEqual(clips());
  expect(actions.store.get().history.past).toEqual([]);
  expect(measured).toHaveLength(1);
  actions.change({ kind: "set-title", title: "edited" });
  actions.undo();
  expect(clips()).toEqual([noted("a.mp4", file("1"))]);
});

it("measures a noted clip that is the same, and reads nothing that is remembered", async () => {
  const { asked, measured, open } = bench({ "a.mp4": file("1") }, session("a.mp4", file("1")), [print("1")]);
  await open();
  expect(asked).toEqual(["inspect a.mp4"]);
  expect(measured).toEqual([{ shot: "shot-1", refused: false }]);
});

it("gives no number before all of a noted clip was read, and refuses one that is another", async () => {
  const { actions, asked, measured, open, settle } = bench(
    { "a.mp4": file("2") },
    session("a.mp4", file("1")),
  );
  await open();
  await settle();
  expect(asked).toEqual(["inspect a.mp4", "fingerprint a.mp4"]);
  expect(measured).toEqual([{ shot: "shot-1", refused: true }]);
  expect(actions.store.get().results["shot-1"]?.notices[0]).toMatchObject({
    level: "refusal",
    code: ofShot("another-clip"),
    cause:
      "a.mp4 is not the clip that the marks were placed in: the file under that name has another content.",
  });
});

it("says that nothing is known of a clip whose reading was stopped, until it is looked at again", async () => {
  const { actions, disk, measured, open, settle } = bench(
    { "a.mp4": file("2") },
    session("a.mp4", file("1")),
  );
  disk.stopped = true;
  await open();
  await settle();
  expect(actions.store.get().known["a.mp4"]).toMatchObject({ status: "failed", fault: { code: "not-read" } });
  expect(measured).toEqual([{ shot: "shot-1", refused: true }]);
  expect(actions.store.get().results["shot-1"]?.notices[0]?.code).toBe(ofShot("clip-unread"));
  disk.stopped = false;
  await actions.inspect("a.mp4");
  await settle();
  expect(measured.at(-1)).toEqual({ shot: "shot-1", refused: true });
});

it("takes the other content when the person says that it is the same shot, as a step of undo", async () => {
  const { actions, measured, open, settle, clips } = bench(
    { "a.mp4": file("2") },
    session("a.mp4", file("1")),
  );
  await open();
  actions.acceptContent("a.mp4");
  await settle();
  expect(clips()).toEqual([noted("a.mp4", file("2"))]);
  expect(measured.map(({ refused }) => refused)).toEqual([true, false]);
  actions.undo();
  await settle();
  expect(clips()).toEqual([noted("a.mp4", file("1"))]);
  expect(measured.map(({ refused }) => refused)).toEqual([true, false, true]);
});

it("finds a renamed clip among the files of its length only, proposes it, and takes it when told", async () => {
  const files = { "b.mp4": file("9"), "c.mp4": file("1"), "long.mp4": file("1", 2000) };
  const start = { ...session("a.mp4", file("1")), shots: [shot("shot-1", "a.mp4"), shot("shot-2", "a.mp4")] };
  const { actions, asked, open, settle, clips } = bench(files, start);
  await open();
  await settle();
  expect(asked).toEqual(["inspect a.mp4", "fingerprint b.mp4", "fingerprint c.mp4"]);
  expect(actions.store.get().found).toEqual({ "a.mp4": "c.mp4" });
  expect(sessionOf(actions.store.get()).shots[0]!.clip).toBe("a.mp4"); // proposed, not taken
  actions.takeFound("a.mp4");
  await settle();
  expect(sessionOf(actions.store.get()).shots.map(({ clip }) => clip)).toEqual(["c.mp4", "c.mp4"]);
  expect(clips()).toEqual([noted("c.mp4", file("1"))]);
  expect(actions.store.get().results["shot-1"]?.measurement).not.toBeNull();
  actions.undo();
  await settle();
  expect(clips()).toEqual([noted("a.mp4", file("1"))]);
});

it("finds the clip that was marked when another took its name", async () => {
  const files = { "a.mp4": file("2"), "old.mp4": file("1") };
  const { actions, open, settle } = bench(files, session("a.mp4", file("1")));
  await open();
  await settle();
  expect(actions.store.get().found).toEqual({ "a.mp4": "old.mp4" });
});

it("does not follow a point through another clip than its marks were placed in", async () => {
  const start = session("a.mp4", file("1"));
  const mark = { pointId: "nose", frame: 0, x: 1, y: 1, u: 0.5, by: "hand" as const };
  const { actions, asked, open } = bench(
    { "a.mp4": file("2", 999) },
    { ...start, shots: [{ ...start.shots[0]!, marks: [mark] }] },
  );
  await open();
  await actions.follow(false);
  expect(asked.filter((one) => one.startsWith("follow"))).toEqual([]);
  expect(actions.store.get().notices[0]?.fault.code).toBe(ofShot("another-clip"));
});

it("notices a swap while the folder is open, once the new file has rested: the number goes before it is read", async () => {
  const { actions, disk, asked, measured, open, look, settle } = bench(
    { "a.mp4": file("1") },
    session("a.mp4", file("1")),
    [print("1")],
  );
  await open();
  await look();
  disk.files = { "a.mp4": file("2", 1000, 5) }; // still being copied
  await look();
  disk.files = { "a.mp4": file("2", 1000, 6) };
  await look();
  expect(asked).toEqual(["inspect a.mp4"]);
  await look();
  await settle();
  expect(asked).toEqual(["inspect a.mp4", "inspect a.mp4", "fingerprint a.mp4"]);
  expect(measured.map(({ refused }) => refused)).toEqual([false, true]);
  expect(actions.store.get().results["shot-1"]?.measurement).toBeNull();
});

it("lists new clips, says which is gone, and looks again at one that is back", async () => {
  const { actions, disk, open, look } = bench({ "a.mp4": file("1") }, session("a.mp4", file("1")), [
    print("1"),
  ]);
  await open();
  disk.files = { "b.mp4": file("3", 5) };
  await look();
  expect(actions.store.get().clips.map(({ name }) => name)).toEqual(["b.mp4"]);
  expect(actions.store.get().known["a.mp4"]).toMatchObject({
    status: "failed",
    fault: { code: "clip-gone", cause: "a.mp4 is not in the folder any more." },
  });
  disk.files = { "a.mp4": file("1"), "b.mp4": file("3", 5) };
  await look();
  await look();
  expect(actions.store.get().known["a.mp4"]?.status).toBe("known");
});

it("finds a clip by its content when it is renamed while the folder is open", async () => {
  const { actions, disk, open, look, settle } = bench({ "a.mp4": file("1") }, session("a.mp4", file("1")), [
    print("1"),
  ]);
  await open();
  disk.files = { "flight.mp4": file("1") };
  await look();
  await settle();
  expect(actions.store.get().found).toEqual({ "a.mp4": "flight.mp4" });
});

it("says once that the folder cannot be looked at, not at every look", async () => {
  const { actions, disk, open, look } = bench({ "a.mp4": file("1") }, session("a.mp4"));
  await open();
  disk.away = true;
  await look();
  actions.dismiss(actions.store.get().notices[0]!.id);
  await look();
  expect(actions.store.get().notices).toEqual([]);
  disk.away = false;
  await look();
  disk.away = true;
  await look();
  expect(actions.store.get().notices.map(({ fault }) => fault.code)).toEqual(["folder-gone"]);
});
