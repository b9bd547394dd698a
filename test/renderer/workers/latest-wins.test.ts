import { expect, it } from "vitest";
import { createLatestWins } from "../../../src/renderer/workers/latest-wins.ts";

const settle = () => new Promise((resolve) => setImmediate(resolve));

/** A queue whose work ends when told, on a clock that the test turns. */
function bench(supersededAfterMs: (running: string, newer: string) => number = () => 1000) {
  let now = 0;
  const timers: { readonly atMs: number; readonly run: () => void; off: boolean }[] = [];
  const [ran, answers, errors]: [string[], string[], string[]] = [[], [], []];
  const ends: { readonly done: () => void; readonly fail: (error: unknown) => void }[] = [];
  const told = { idle: 0 };
  const queue = createLatestWins<string, string>({
    run(request, signal) {
      ran.push(request);
      return new Promise((resolve, fail) => {
        ends.push({ done: () => resolve(request), fail });
        signal.addEventListener("abort", () => fail(new Error(`${request} was ended`)));
      });
    },
    onAnswer: (key, answer) => answers.push(`${key}=${answer}`),
    onError: (key, error, request) => errors.push(`${key} ${request}: ${(error as Error).message}`),
    onIdle: () => told.idle++,
    supersededAfterMs,
    later(run, ms) {
      const timer = { atMs: now + ms, run, off: false };
      timers.push(timer);
      return () => {
        timer.off = true;
      };
    },
    nowMs: () => now,
  });
  const turn = (ms: number) => {
    now += ms;
    for (const timer of timers.splice(0)) {
      if (timer.off) continue;
      if (timer.atMs <= now) timer.run();
      else timers.push(timer);
    }
    return settle();
  };
  return { queue, ran, answers, errors, ends, told, turn };
}

it("runs one request at a time and skips those that a newer one of the same key replaced", async () => {
  const { queue, ran, answers, ends, told } = bench();
  queue.ask("x", "x1");
  queue.ask("x", "x2");
  queue.ask("y", "y1");
  queue.ask("x", "x3");
  expect(ran).toEqual(["x1"]);
  for (let i = 0; i < 3; i++) {
    ends[i]!.done();
    await settle();
  }
  expect(ran).toEqual(["x1", "y1", "x3"]);
  expect(answers).toEqual(["x=x1", "y=y1", "x=x3"]);
  expect([queue.idle(), told.idle]).toEqual([true, 1]);
});

it("tells of a failure and goes on", async () => {
  const { queue, errors, answers, ends } = bench();
  queue.ask("x", "bad");
  queue.ask("y", "good");
  ends[0]!.fail(new Error("no"));
  await settle();
  ends[1]!.done();
  await settle();
  expect(errors).toEqual(["x bad: no"]);
  expect(answers).toEqual(["y=good"]);
});

it("ends what has had its time while a newer request of its key waits, and tells nothing of it", async () => {
  const { queue, ran, answers, errors, ends, turn } = bench();
  queue.ask("x", "hopeless");
  await turn(400);
  queue.ask("x", "corrected");
  await turn(599);
  expect(ran).toEqual(["hopeless"]);
  await turn(1);
  expect(ran).toEqual(["hopeless", "corrected"]);
  ends[1]!.done();
  await settle();
  expect([answers, errors, queue.idle()]).toEqual([["x=corrected"], [], true]);
});

it("ends at once what has run long when a newer request of its key comes", async () => {
  const { queue, ran, turn } = bench();
  queue.ask("x", "hopeless");
  await turn(60_000);
  expect(ran).toEqual(["hopeless"]);
  queue.ask("x", "corrected");
  await settle();
  expect(ran).toEqual(["hopeless", "corrected"]);
});

it("lets what runs go on while only other keys wait", async () => {
  const { queue, ran, turn } = bench();
  queue.ask("x", "long");
  queue.ask("y", "other");
  await turn(60_000);
  expect(ran).toEqual(["long"]);
});

it("gives each pair of requests the time that is said for it", async () => {
  const quick = (one: string) => one.startsWith("quick");
  const { queue, ran, turn } = bench((running, newer) => (quick(running) && quick(newer) ? 5000 : 1000));
  queue.ask("x", "quick 1");
  queue.ask("x", "quick 2");
  await turn(4000);
  expect(ran).toEqual(["quick 1"]);
  queue.ask("x", "full");
  await settle();
  expect(ran).toEqual(["quick 1", "full"]);
});

it("forgets a key: what waits under it never runs, and what runs under it is ended", async () => {
  const { queue, ran, answers, errors, ends } = bench();
  queue.ask("x", "x1");
  queue.ask("y", "y1");
  queue.ask("z", "z1");
  queue.forget("y");
  queue.forget("x");
  await settle();
  expect(ran).toEqual(["x1", "z1"]);
  ends[1]!.done();
  await settle();
  expect([answers, errors]).toEqual([["z=z1"], []]);
});
