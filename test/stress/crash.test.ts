import { beforeAll, expect, it } from "vitest";
import { buildIfStale } from "../../tools/build-if-stale.mjs";
import { run } from "./crash.ts";

const GIVEN_UP_MS = 600_000; // on a machine busy with much else; nothing waits for it

beforeAll(() => {
  expect(buildIfStale()).toBe(true);
}, GIVEN_UP_MS);

it(
  "a host and commands killed at random moments lose nothing that was acknowledged, and leave nothing behind",
  async () => {
    let said = "";
    const held = await run({
      seed: 8,
      long: false,
      out: (text) => {
        said += text;
      },
    });
    expect(said).toMatch(
      /^crashes: 8 kills of a host, 2 of commands, [1-9]\d* steps acknowledged.*, 0 failures$/m,
    );
    expect(held).toBe(true);
  },
  GIVEN_UP_MS,
);
