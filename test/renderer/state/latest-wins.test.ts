import { expect, it } from "vitest";
import { createLatestWins } from "../../../src/renderer/state/latest-wins.ts";

const settle = () => new Promise((resolve) => setImmediate(resolve));

it("runs one request at a time and skips those that a newer one of the same key replaced", async () => {
  const ran: string[] = [];
  const answers: string[] = [];
  const ends: (() => void)[] = [];
  let idle = 0;
  const queue = createLatestWins<string, string>(
    (request) => {
      ran.push(request);
      return new Promise((resolve) => ends.push(() => resolve(request)));
    },
    (key, answer) => answers.push(`${key}=${answer}`),
    () => {},
    () => idle++,
  );
  queue.ask("x", "x1");
  queue.ask("x", "x2");
  queue.ask("y", "y1");
  queue.ask("x", "x3");
  expect(ran).toEqual(["x1"]);
  for (let i = 0; i < 3; i++) {
    ends[i]!();
    await settle();
  }
  expect(ran).toEqual(["x1", "y1", "x3"]);
  expect(answers).toEqual(["x=x1", "y=y1", "x=x3"]);
  expect([queue.idle(), idle]).toEqual([true, 1]);
});

it("tells of a failure and goes on", async () => {
  const errors: string[] = [];
  const answers: string[] = [];
  const queue = createLatestWins<string, string>(
    async (request) => {
      if (request === "bad") throw new Error("no");
      return request;
    },
    (_, answer) => answers.push(answer),
    (key, error) => errors.push(`${key}: ${(error as Error).message}`),
  );
  queue.ask("x", "bad");
  queue.ask("y", "good");
  await settle();
  expect(errors).toEqual(["x: no"]);
  expect(answers).toEqual(["good"]);
});
