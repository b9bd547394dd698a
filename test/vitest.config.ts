import { join } from "node:path";
import { defineConfig } from "vitest/config";

const buildOnce = join(import.meta.dirname, "build-once.ts");
const buildWorker = join(import.meta.dirname, "build-worker.ts");

export default defineConfig({
  test: {
    maxWorkers: "100%", // by default one core is left free, which on two cores is half of them
    projects: [
      {
        test: {
          name: "unit",
          include: ["test/**/*.test.ts"],
          exclude: ["test/browser/**", "test/contract/**", "test/bench/**"],
          globalSetup: buildWorker,
          // Tests that run ffmpeg take seconds on a loaded machine; none waits for time to pass.
          testTimeout: 60_000,
          hookTimeout: 60_000,
        },
      },
      {
        test: {
          name: "contract",
          include: ["test/contract/**/*.test.ts"],
          globalSetup: buildOnce,
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: "browser",
          include: ["test/browser/**/*.test.ts"],
          globalSetup: [buildOnce, buildWorker],
          fileParallelism: false,
          sequence: { groupOrder: 1 }, // after the others, which run side by side
          testTimeout: 120_000,
          hookTimeout: 120_000,
        },
      },
    ],
  },
});
