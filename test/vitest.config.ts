import { join } from "node:path";
import { defineConfig } from "vitest/config";
import { builtCore } from "./built-core.ts";
import { LongFirst } from "./long-first.ts";

const buildOnce = join(import.meta.dirname, "build-once.ts");
const oneBrowser = join(import.meta.dirname, "browser", "one-browser.ts");
const buildWorker = join(import.meta.dirname, "build-worker.ts");

/*
 * No test passes or fails by how long something took: tests wait for states, and how fast things are is for
 * `npm run bench`. These limits only end what would never end, far beyond what the slowest machine takes, and
 * no test sets one of its own.
 */
const HUNG = {
  testTimeout: 20 * 60_000,
  hookTimeout: 20 * 60_000,
  expect: { poll: { timeout: 5 * 60_000 } },
};

const { plugins = [], deps } = builtCore();

const CORE = [
  "test/{shared,published,reference,renderer}/**/*.test.ts",
  "test/main/{store,cli,host,write-up,jobs}/**/*.test.ts",
];

export default defineConfig({
  test: {
    maxWorkers: "100%", // by default one core is left free, which on two cores is half of them
    sequence: { sequencer: LongFirst },
    projects: [
      {
        plugins,
        test: {
          ...deps,
          // Tests that leave no state in a module share the modules within a process: loading them for
          // each of 300 files takes minutes.
          name: "core",
          include: CORE,
          isolate: false,
          globalSetup: buildWorker,
          ...HUNG,
        },
      },
      {
        plugins,
        test: {
          ...deps,
          name: "unit",
          include: ["test/**/*.test.ts"],
          exclude: [...CORE, "test/browser/**", "test/contract/**", "test/bench/**"],
          globalSetup: buildWorker,
          ...HUNG,
        },
      },
      {
        plugins,
        test: {
          ...deps,
          name: "contract",
          include: ["test/contract/**/*.test.ts"],
          globalSetup: buildOnce,
          ...HUNG,
        },
      },
      {
        plugins,
        test: {
          ...deps,
          name: "browser",
          include: ["test/browser/**/*.test.ts"],
          isolate: false, // as for the core
          globalSetup: [buildOnce, buildWorker, oneBrowser],
          ...HUNG,
        },
      },
    ],
  },
});
