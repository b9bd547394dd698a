import { expect, it } from "vitest";
import { DRAWS, type DrawInputs, drawKey, drawShot } from "../../../src/renderer/state/desk-draws.ts";
import { createDeskJobs } from "../../../src/renderer/state/desk-jobs.ts";
import { type DeskState, emptyDesk } from "../../../src/renderer/state/desk-state.ts";
import type { Service } from "../../../src/renderer/state/service.ts";
import { createStore } from "../../../src/renderer/state/store.ts";
import type { Fault } from "../../../src/shared/quantity/notice.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { ShotResult } from "../../../src/shared/shot/shot-result.ts";

const drawn = { measurement: { drawn: { draws: DRAWS, headlines: {} } } } as unknown as ShotResult;

function bench(draw: DrawInputs) {
  const session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", null)] };
  const store = createStore<DeskState>({ ...emptyDesk(session), shotId: "shot-1" });
  const jobs = createDeskJobs(store, {} as Service);
  const faults: Fault[] = [];
  const start = () => drawShot(store, jobs, draw, (fault) => faults.push(fault));
  return { store, jobs, faults, start };
}

it("shows how far it is, and puts the result in the place of the one before", async () => {
  const seen: number[] = [];
  const { store, start } = bench(async (request, { onDraw }) => {
    expect(request).toMatchObject({ shotId: "shot-1", draws: DRAWS, facts: null });
    onDraw(DRAWS / 4);
    seen.push(store.get().jobs[0]!.fraction);
    return drawn;
  });
  await start();
  expect(seen).toEqual([0.25]);
  expect(store.get().results["shot-1"]).toBe(drawn);
  expect(store.get().jobs).toEqual([]);
});

it("does not take a result of a document that has changed meanwhile", async () => {
  const { store, start } = bench(async () => {
    const { history } = store.get();
    store.set({ ...store.get(), history: { ...history, present: { ...history.present, title: "another" } } });
    return drawn;
  });
  await start();
  expect(store.get().results).toEqual({});
});

it("can be stopped by its key, and starts only once at a time", async () => {
  let starts = 0;
  const { store, jobs, faults, start } = bench(
    (_, { signal }) =>
      new Promise((resolve) => {
        starts++;
        signal.addEventListener("abort", () => resolve(null));
      }),
  );
  const running = start();
  await start();
  expect(starts).toBe(1);
  jobs.stop(drawKey("shot-1"));
  await running;
  expect([store.get().results, store.get().jobs, faults]).toEqual([{}, [], []]);
});

it("tells of a failure, and leaves the results as they are", async () => {
  const { store, faults, start } = bench(async () => {
    throw new Error("no worker");
  });
  await start();
  expect(faults).toHaveLength(1);
  expect([store.get().results, store.get().jobs]).toEqual([{}, []]);
});
