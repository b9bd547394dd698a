import { expect, it } from "vitest";
import { DRAWS, drawKey, drawShot } from "../../../src/renderer/actions/draw-inputs.ts";
import { createJobs } from "../../../src/renderer/actions/jobs.ts";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import type { FollowJob, Service } from "../../../src/renderer/host/service.ts";
import { createStore } from "../../../src/renderer/store/store.ts";
import type { JobReply, JobRequest } from "../../../src/shared/api/job-contract.ts";
import type { Fault } from "../../../src/shared/quantity/notice.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { shotRestsOn } from "../../../src/shared/session/rests-on.ts";
import { firstOf } from "../../support/one-of-each.ts";

const drawn = {
  shotId: "shot-1",
  measurement: { drawn: { draws: DRAWS, headlines: {} } },
} as unknown as ShotResult;
const session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", null)] };
const done = {
  id: "j",
  state: "done",
  drawn,
  about: { kind: "draw", shotId: "shot-1", draws: DRAWS, restsOn: shotRestsOn(session, "shot-1") },
  taken: false,
  heldElsewhere: false,
} as unknown as JobReply;

function bench(answer: (request: JobRequest, follow: FollowJob) => Promise<JobReply>) {
  const store = createStore<AppState>({ ...emptyState(session), shotId: "shot-1" });
  const taken: string[] = [];
  const service = { job: answer, taken: async (id: string) => void taken.push(id) } as unknown as Service;
  const jobs = createJobs(store, service);
  const faults: Fault[] = [];
  const start = () => drawShot(store, jobs, (fault) => faults.push(fault));
  const edit = (part: object) => {
    const { history } = store.get();
    store.set({ ...store.get(), history: { ...history, present: { ...history.present, ...part } } });
  };
  return { store, jobs, faults, taken, start, edit };
}

it("shows how far it is, puts the result in the place of the one before, and then says that it is taken", async () => {
  const seen: number[] = [];
  const { store, taken, start } = bench(async (request, { onProgress }) => {
    const document = { revision: "none", steps: [] };
    expect(request).toEqual({ kind: "draw", document, shotId: "shot-1", draws: DRAWS });
    onProgress?.({ ...done, state: "running", fraction: 0.25 });
    seen.push(store.get().jobs[0]!.fraction);
    return done;
  });
  await start();
  expect(seen).toEqual([0.25]);
  expect(store.get().results["shot-1"]).toBe(drawn);
  expect([store.get().jobs, taken]).toEqual([[], ["j"]]);
});

it("does not show a result when something it rests on has changed meanwhile; a title is nothing it rests on", async () => {
  const { store, start, edit } = bench(async () => {
    const { airframe } = firstOf(store.get().history.present);
    edit({ airframes: [{ ...airframe, massKg: { value: 2, u: 0.1 } }] });
    return done;
  });
  await start();
  expect(store.get().results).toEqual({});
  const other = bench(async () => {
    other.edit({ title: "another" });
    return done;
  });
  await other.start();
  expect(other.store.get().results["shot-1"]).toBe(drawn);
});

it("can be stopped by its key, and starts only once at a time", async () => {
  let starts = 0;
  const { store, jobs, faults, start } = bench(
    (_, { signal, onProgress }) =>
      new Promise((resolve) => {
        starts++;
        onProgress?.({ ...done, state: "running", fraction: 0 });
        signal?.addEventListener("abort", () => resolve({ ...done, state: "cancelled", drawn: null }));
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
    throw new Error("no thread");
  });
  await start();
  expect(faults).toHaveLength(1);
  expect([store.get().results, store.get().jobs]).toEqual([{}, []]);
});

it("leaves to another window what that one holds", async () => {
  const { store, taken, start } = bench(async () => ({ ...done, heldElsewhere: true }));
  await start();
  expect([store.get().results, taken]).toEqual([{}, []]);
});
