import { expect, it } from "vitest";
import {
  createBudgetedWorker,
  OutOfTime,
  type PageWorker,
} from "../../../src/renderer/workers/budgeted-worker.ts";

/** Workers that note what they are sent and answer when told, and timers that run when told. */
function bench() {
  const made: (PageWorker & { readonly got: unknown[]; terminated: boolean })[] = [];
  const timers: { readonly run: () => void; readonly ms: number; off: boolean }[] = [];
  const worker = createBudgetedWorker<string, string>({
    make() {
      const one = {
        onmessage: null,
        onerror: null,
        got: [] as unknown[],
        terminated: false,
        postMessage: (message: unknown) => one.got.push(message),
        terminate() {
          one.terminated = true;
        },
      };
      made.push(one);
      return one;
    },
    budgetMs: 20_000,
    later(run, ms) {
      const timer = { run, ms, off: false };
      timers.push(timer);
      return () => {
        timer.off = true;
      };
    },
  });
  const answer = (data: string) => made.at(-1)!.onmessage!({ data } as MessageEvent);
  return { worker, made, timers, answer };
}

it("keeps one worker for all questions as long as each is answered in time", async () => {
  const { worker, made, timers, answer } = bench();
  const fresh: boolean[] = [];
  for (const question of ["a", "b"]) {
    const asked = worker.ask((afresh) => {
      fresh.push(afresh);
      return question;
    });
    answer(`${question}!`);
    expect(await asked).toBe(`${question}!`);
  }
  expect([made.length, made[0]!.got, fresh]).toEqual([1, ["a", "b"], [true, false]]);
  expect(timers.map(({ ms, off }) => [ms, off])).toEqual([
    [20_000, true],
    [20_000, true],
  ]);
});

it("ends a worker that has used up its time, and starts another for the next question", async () => {
  const { worker, made, timers, answer } = bench();
  const hopeless = worker.ask(() => "hopeless");
  timers[0]!.run();
  const error = await hopeless.catch((thrown) => thrown);
  expect(error).toBeInstanceOf(OutOfTime);
  expect(error.message).toBe("it was stopped after 20 s without a result");
  expect(made[0]!.terminated).toBe(true);
  const next = worker.ask((afresh) => `next ${afresh}`);
  answer("yes");
  expect([await next, made[1]!.got]).toEqual(["yes", ["next true"]]);
});

it("ends a worker whose answer is not wanted any more", async () => {
  const { worker, made } = bench();
  const stop = new AbortController();
  const asked = worker.ask(() => "outdated", stop.signal);
  stop.abort(new Error("superseded"));
  await expect(asked).rejects.toThrow("superseded");
  expect(made[0]!.terminated).toBe(true);
  await expect(worker.ask(() => "never sent", stop.signal)).rejects.toThrow("superseded");
  expect(made).toHaveLength(1);
});

it("tells of a worker that fails, and starts another", async () => {
  const { worker, made, answer } = bench();
  const asked = worker.ask(() => "a");
  made[0]!.onerror!({ message: "" } as ErrorEvent);
  await expect(asked).rejects.toThrow("the worker did not start");
  const next = worker.ask(() => "b");
  answer("b!");
  expect(await next).toBe("b!");
});
