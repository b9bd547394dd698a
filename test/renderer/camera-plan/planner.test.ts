import { expect, it } from "vitest";
import type { PlanAnswer, PlanRequest } from "../../../src/renderer/camera-plan/plan-worker.ts";
import { createPlanner } from "../../../src/renderer/camera-plan/planner.ts";
import type { PageWorker } from "../../../src/renderer/workers/budgeted-worker.ts";

const request = (id: number) => ({ id, input: {}, units: "SI" }) as unknown as PlanRequest;
const plan = (id: number, whole: boolean) =>
  ({ id, kind: "plan", plan: { headlines: {} }, whole }) as unknown as PlanAnswer;
const progress = (id: number): PlanAnswer => ({ id, kind: "progress", fraction: 0.5, doing: "simulating" });

function bench() {
  const made: (PageWorker & { readonly got: unknown[]; terminated: boolean })[] = [];
  const timers: { readonly run: () => void; readonly ms: number; off: boolean }[] = [];
  const answers: PlanAnswer[] = [];
  const planner = createPlanner({
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
    onAnswer: (answer) => answers.push(answer),
    budgetMs: 20_000,
    later(run, ms) {
      const timer = { run, ms, off: false };
      timers.push(timer);
      return () => {
        timer.off = true;
      };
    },
  });
  const say = (data: PlanAnswer, worker = made.at(-1)!) => worker.onmessage!({ data } as MessageEvent);
  const running = () => timers.filter(({ off }) => !off);
  return { planner, made, answers, say, running };
}

it("ends a plan that gives no sign of life in its time, says so, and plans the next set-up in a new worker", () => {
  const { planner, made, answers, say, running } = bench();
  planner.ask(request(1));
  say(progress(1)); // a sign of life: it has its time again
  expect(running().map(({ ms }) => ms)).toEqual([20_000]);
  running()[0]!.run();
  expect(made[0]!.terminated).toBe(true);
  expect(answers.at(-1)).toEqual({
    id: 1,
    kind: "failed",
    message: "it was stopped after 20 s without a result",
  });
  expect(running()).toEqual([]);
  say(plan(1, true), made[0]); // too late
  expect(answers).toHaveLength(2);
  planner.ask(request(2));
  expect([made.length, made[1]!.got]).toEqual([2, [request(2)]]);
});

it("keeps one worker for set-ups that are planned to their end, and ends one that is outdated or stopped", () => {
  const { planner, made, answers, say, running } = bench();
  planner.ask(request(1));
  say(plan(1, false));
  expect(running()).toHaveLength(1);
  say(plan(1, true));
  expect(running()).toEqual([]);
  planner.ask(request(2));
  expect([made.length, made[0]!.terminated]).toEqual([1, false]);
  planner.ask(request(3));
  expect([made.length, made[0]!.terminated]).toEqual([2, true]);
  planner.stop();
  expect([made[1]!.terminated, running()]).toEqual([true, []]);
  expect(answers.map(({ id }) => id)).toEqual([1, 1]);
});
