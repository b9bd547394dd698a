import { expect, it } from "vitest";
import { createLookThrough } from "../../../src/renderer/actions/look-through.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import { measuredPart } from "../../../src/shared/measure/measured-part.ts";
import type { Proposals } from "../../../src/shared/propose/proposals.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";

const FOUND: Proposals = {
  frame: 12,
  moves: { first: 15, last: 60 },
  levels: [],
  targets: [],
  rods: [],
  lines: [],
};

/** A window with one shot; `answer` is what the look comes to. */
function bench(
  patch: Partial<Shot> = {},
  answer: () => Partial<JobReply> = () => ({ proposals: FOUND as never }),
) {
  const session = { ...freshSession(""), shots: [{ ...freshShot("a", "a", "a.mp4"), ...patch }] };
  const facts = { ...variantFacts("plain"), name: "a.mp4" };
  const known = { "a.mp4": { status: "known", facts, fingerprint: null } } as const;
  const store = createStore<AppState>({ ...emptyState(session), phase: "ready", known, shotId: "a" });
  const [asked, timers]: [JobRequest[], (() => void)[]] = [[], []];
  const look = createLookThrough({
    store,
    jobs: {
      async run(_key, request) {
        asked.push(request);
        return answer() as JobReply;
      },
    },
    later: (timer) => {
      timers.push(timer);
      return () => {};
    },
  });
  const rest = async () => {
    while (timers.length > 0) {
      timers.shift()!();
      for (let turn = 0; turn < 20; turn++) await Promise.resolve();
    }
  };
  return { look, store, asked, rest };
}

it("looks through a new shot's clip once and shows the frame before first motion", async () => {
  const { look, store, asked, rest } = bench();
  look();
  look();
  await rest();
  look();
  await rest();
  expect(asked).toEqual([{ kind: "propose", clip: "a.mp4" }]);
  expect(store.get()).toMatchObject({ frame: 12, proposals: { "a.mp4": FOUND } });
});

it("changes nothing that is measured or saved: what is found counts only when taken", async () => {
  const { look, store, rest } = bench();
  const { history, results, pending } = store.get();
  const before = JSON.stringify(measuredPart(history.present, "a"));
  look();
  await rest();
  expect(store.get().proposals).not.toEqual({});
  expect([store.get().history, store.get().results, store.get().pending]).toEqual([
    history,
    results,
    pending,
  ]);
  expect(store.get().history).toBe(history);
  expect(JSON.stringify(measuredPart(store.get().history.present, "a"))).toBe(before);
});

it("leaves the frame alone that a person chose, and does not look where nothing is lacking", async () => {
  const chosen = bench();
  chosen.look();
  chosen.store.set({ ...chosen.store.get(), frame: 3, frameChosen: true });
  await chosen.rest();
  expect(chosen.store.get()).toMatchObject({ frame: 3, proposals: { "a.mp4": FOUND } });
  const scale: Shot["scale"] = { a: [0, 0], b: [9, 0], uPx: 0.4, rodM: { value: 1, u: 0.001 } };
  const marked = bench({ scale, marks: [{ pointId: "nose", frame: 1, x: 2, y: 3, u: 0.5, by: "hand" }] });
  marked.look();
  await marked.rest();
  expect(marked.asked).toEqual([]);
});

it("has nothing to offer where the look failed or was stopped, and goes on", async () => {
  for (const answer of [
    () => ({ proposals: null }),
    () => {
      throw new Error("no picture");
    },
  ]) {
    const { look, store, rest } = bench({}, answer);
    look();
    await rest();
    expect(store.get()).toMatchObject({ frame: 0, proposals: {} });
  }
});
