import { expect, it } from "vitest";
import { createCarryOver } from "../../../src/renderer/actions/carry-over.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import { offeredSetUp } from "../../../src/renderer/app-state/offered-set-up.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import { shotPicks } from "../../../src/shared/carry/sought-picks.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { freshShot } from "../../../src/shared/session/fresh.ts";
import { startHistory } from "../../../src/shared/session/history.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";

const [FIRST] = sampleSession().shots as [Shot];
const OTHER: Shot = { ...FIRST, id: "shot-9", name: "ninth", clip: "nine.mp4" };

/** A window at a bare shot after two that have a set-up; every look finds all of it, 5 px to the right. */
function bench() {
  const bare = freshShot("shot-2", "second", "two.mp4");
  const session: Session = { ...sampleSession(), shots: [OTHER, FIRST, bare] };
  const facts = { ...variantFacts("plain"), name: "two.mp4" };
  const known = { "two.mp4": { status: "known", facts, fingerprint: null } } as const;
  const store = createStore<AppState>({ ...emptyState(session), phase: "ready", known, shotId: "shot-2" });
  const asked: string[] = [];
  const change = (to: Session) => store.set({ ...store.get(), history: startHistory(to) });
  const now = () => store.get().history.present;
  const carrying = createCarryOver({
    store,
    jobs: {
      async runOnDocument(_key, request) {
        const { asShotId } = request({ revision: "none", steps: [] }) as JobRequest & { asShotId: string };
        asked.push(asShotId);
        const former = now().shots.find(({ id }) => id === asShotId)!;
        const picks = shotPicks(now(), former).map(({ id, at: [x, y] }) => ({
          ...{ id, at: [x + 5, y], uPx: 0.05 },
          ...{ doubt: null, by: "picture" },
        }));
        const outcome = { ok: true, value: { frame: 3, camera: { shiftPx: [5, 0], widthPx: 1280 }, picks } };
        return { setUp: { outcome, rates: "one" } } as never as JobReply;
      },
    },
    changeAll: (edits) => change(edits.reduce(applyEdit, now())),
    followAll: async () => {},
    onLeft: () => {},
    onFault: () => {},
  });
  const settle = async () => {
    for (let turn = 0; turn < 20; turn++) await Promise.resolve();
  };
  const shots = (edit: (shots: readonly Shot[]) => readonly Shot[]) => {
    change({ ...now(), shots: [...edit(now().shots)] });
    carrying.look();
    return settle();
  };
  return { store, asked, carrying, settle, shots, now };
}

it("looks again when what was picked in the former shot was changed after the look", async () => {
  const { asked, carrying, settle, shots, now } = bench();
  carrying.look();
  carrying.look();
  await settle();
  expect(asked).toEqual(["shot-1"]);
  const scale = { ...FIRST.scale!, a: [400, 610] as [number, number] };
  await shots((all) => all.map((shot) => (shot.id === "shot-1" ? { ...shot, scale } : shot)));
  expect(asked).toEqual(["shot-1", "shot-1"]);
  carrying.takeOver();
  expect(now().shots[2]!.scale).toMatchObject({ a: [405, 610], carried: { a: [400, 610] } });
});

it("offers another shot's set-up when the former one is taken out, and none when none is left", async () => {
  const { store, asked, carrying, settle, shots, now } = bench();
  carrying.look();
  await settle();
  await shots((all) => all.filter(({ id }) => id !== "shot-1"));
  expect(asked).toEqual(["shot-1", "shot-9"]);
  expect(offeredSetUp(store.get())?.former.id).toBe("shot-9");
  await shots((all) => all.filter(({ id }) => id !== "shot-9"));
  expect(offeredSetUp(store.get())).toBeNull();
  carrying.takeOver();
  expect(now().shots[0]).toMatchObject({ scale: null, marks: [] });
});
