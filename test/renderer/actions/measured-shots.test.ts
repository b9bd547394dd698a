import { expect, it } from "vitest";
import { createJobs } from "../../../src/renderer/actions/jobs.ts";
import { createMeasuredShots } from "../../../src/renderer/actions/measured-shots.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import type { Service } from "../../../src/renderer/host/service.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import { OutOfTime } from "../../../src/renderer/workers/budgeted-worker.ts";
import type { MeasureRequest } from "../../../src/renderer/workers/measure-worker.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";

const settle = () => new Promise((resolve) => setImmediate(resolve));
const measured = { measurement: { quantities: {} }, notices: [] } as unknown as ShotResult;

/** Results over a measuring that notes what it was asked, and a clock that stands until told. */
function bench(
  measure: (how: MeasureRequest["how"], signal: AbortSignal) => Promise<ShotResult> = async () => measured,
) {
  const session: Session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", null)] };
  const store = createStore<AppState>({ ...emptyState(session), shotId: "shot-1" });
  const asked: MeasureRequest["how"][] = [];
  const rests: (() => void)[] = [];
  const results = createMeasuredShots({
    store,
    jobs: createJobs(store, {} as Service),
    measure: ({ how }, signal) => {
      asked.push(how);
      return measure(how, signal);
    },
    nowMs: () => 0,
    later(run) {
      rests.push(run);
      return () => void rests.splice(rests.indexOf(run), 1);
    },
    onFault: () => {},
    onInspected: () => {},
  });
  function edit(patch: Partial<Shot>): void {
    const before = store.get().history.present;
    const after = { ...before, shots: before.shots.map((shot) => ({ ...shot, ...patch })) };
    store.set({ ...store.get(), history: { ...store.get().history, present: after } });
    results.measureChanged(before, after);
  }
  return { store, asked, rests, results, edit };
}

it("measures wholly at first and when more than marks changed, quickly when only marks did", async () => {
  const { asked, results, edit } = bench();
  results.measureAll();
  await settle();
  edit({ marks: [] });
  await settle();
  edit({ cameraId: "other" });
  await settle();
  expect(asked).toEqual(["full", "quick", "full"]);
});

it("measures nothing again for another name or note of a shot", async () => {
  const { asked, results, edit } = bench();
  results.measureAll();
  await settle();
  edit({ name: "two" });
  edit({ notes: "gusty" });
  await settle();
  expect(asked).toEqual(["full"]);
});

it("measures wholly once the marks have rested, and is settled only then", async () => {
  const { store, asked, rests, results, edit } = bench();
  results.measureAll();
  await settle();
  expect(store.get().measuring).toBe("settled");
  edit({ marks: [] });
  edit({ marks: [] });
  await settle();
  expect([asked, rests.length, store.get().measuring]).toEqual([["full", "quick", "quick"], 1, "refining"]);
  rests.pop()!();
  await settle();
  expect([asked.at(-1), store.get().measuring]).toEqual(["full", "settled"]);
});

it("is behind while a change of more than marks is not in the results", () => {
  const { store, edit } = bench();
  edit({ cameraId: "other" });
  expect(store.get().measuring).toBe("behind");
});

it("refuses a shot by name when its time is used up, and names what was changed last", async () => {
  const { store, results, edit } = bench(async () => {
    throw new OutOfTime(20_000);
  });
  edit({
    conditions: { ...store.get().history.present.shots[0]!.conditions, temperatureK: { value: 9e9, u: 1 } },
  });
  await settle();
  expect(store.get().results["shot-1"]).toMatchObject({ measurement: null, prediction: null });
  expect(store.get().results["shot-1"]!.notices).toEqual([
    {
      level: "refusal",
      code: ofShot("took-too-long"),
      cause: "The computation of one was stopped: it had no result after 20 s.",
      remedy: "Check the air temperature of one, which was changed last, or undo that change.",
      about: "motion",
    },
  ]);
  expect(store.get().measuring).toBe("settled");
  results.measureAll();
  expect(store.get().measuring).toBe("behind");
});

it("is not busy for ever: a correction ends the measurement of what was wrong", async () => {
  const ended: string[] = [];
  let first = true;
  const { store, results, rests, edit } = bench((how, signal) => {
    if (!first) return Promise.resolve(measured);
    first = false;
    return new Promise((_, reject) => {
      signal.addEventListener("abort", () => {
        ended.push(how);
        reject(new Error("ended"));
      });
    });
  });
  results.measureAll();
  edit({ cameraId: "corrected" });
  for (const rest of rests.splice(0)) rest(); // its second is over
  await settle();
  expect([ended, store.get().measuring, store.get().results["shot-1"]]).toEqual([
    ["full"],
    "settled",
    measured,
  ]);
});

it("ends the measurement of a shot that was removed", async () => {
  let ended = false;
  const { store, results } = bench(
    (_, signal) =>
      new Promise((__, reject) => {
        signal.addEventListener("abort", () => {
          ended = true;
          reject(new Error("ended"));
        });
      }),
  );
  results.measureAll();
  const before = store.get().history.present;
  const after = { ...before, shots: [] };
  store.set({ ...store.get(), history: { ...store.get().history, present: after } });
  results.measureChanged(before, after);
  await settle();
  expect([ended, store.get().measuring, store.get().results]).toEqual([true, "settled", {}]);
});
