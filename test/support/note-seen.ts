import { mkdirSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { afterAll, expect } from "vitest";
import { SEEN } from "../../tools/seen-functions.mjs";

/*
 * A set-up of every test file of a run with marked sources (test/mutate.config.ts): when the file's tests
 * have ended, what they ran is written into the folder that the environment names, a file for each test file.
 */
const folder = process.env.LOFTMARK_SEEN!;
const startMs = performance.now();

afterAll(() => {
  const seen = (globalThis as unknown as Record<string, Set<string> | undefined>)[SEEN];
  const test = expect.getState().testPath!;
  const told = { test, tookMs: performance.now() - startMs, seen: [...(seen ?? [])] };
  mkdirSync(folder, { recursive: true });
  writeFileSync(
    join(folder, `${basename(test)}-${process.pid}-${Math.round(startMs)}.json`),
    JSON.stringify(told),
  );
});
