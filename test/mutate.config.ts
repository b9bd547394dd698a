import { readFileSync } from "node:fs";
import { join } from "node:path";
import { defineConfig } from "vitest/config";
import { faultFrom } from "../tools/mutants.mjs";

const ROOT = join(import.meta.dirname, "..");
const fault = faultFrom(process.env.LOFTMARK_MUTANT);

/*
 * Runs tests on sources with one fault put in, for tools/mutate.mjs. The fault is put in as the file is
 * loaded, so that no file is ever changed. One thread, whose modules the test files share: the tests of the
 * core keep nothing in their modules.
 */
export default defineConfig({
  plugins: [
    {
      name: "one fault",
      enforce: "pre",
      load(id) {
        if (fault === null || id.split("?")[0] !== join(ROOT, fault.file)) return null;
        const source = readFileSync(join(ROOT, fault.file), "utf8");
        return source.slice(0, fault.start) + fault.text + source.slice(fault.end);
      },
    },
  ],
  test: {
    include: ["test/{shared,published,reference,renderer}/**/*.test.ts"],
    pool: "threads",
    isolate: false,
    maxWorkers: 1,
    bail: 1,
    testTimeout: 120_000,
    reporters: ["dot"],
  },
});
