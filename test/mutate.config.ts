import { readFileSync } from "node:fs";
import { join, relative, sep } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";
import { faultFrom } from "../tools/mutants.mjs";
import { markFunctions } from "../tools/seen-functions.mjs";

const ROOT = join(import.meta.dirname, "..");
const fault = faultFrom(process.env.LOFTMARK_MUTANT);
const marking = process.env.LOFTMARK_SEEN !== undefined;
/** Test files in the order in which they are to run. */
const order = (process.env.LOFTMARK_ORDER ?? "").split("\n");

class InOrder extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification) => order.indexOf(fromRoot(moduleId));
    return [...files].sort((a, b) => place(a) - place(b));
  }
}

/*
 * Runs the core's tests for tools/mutate.mjs: on sources with one fault put in, or on sources that note
 * which of their functions a test file runs. Both are done as a file is loaded, so that no file is ever
 * changed. One thread, whose modules the test files share where a fault is put in: the tests of the core
 * keep nothing in their modules.
 */
export default defineConfig({
  plugins: [
    {
      name: "faults and marks",
      enforce: "pre",
      load(id) {
        const file = fromRoot(id.split("?")[0]!);
        if (marking && /^src\/shared\/.*\.ts$/.test(file)) {
          return markFunctions(file, readFileSync(join(ROOT, file), "utf8"));
        }
        if (fault === null || file !== fault.file) return null;
        const source = readFileSync(join(ROOT, file), "utf8");
        return source.slice(0, fault.start) + fault.text + source.slice(fault.end);
      },
    },
  ],
  test: {
    include: ["test/{shared,published,reference,renderer}/**/*.test.ts"],
    pool: "threads",
    isolate: marking,
    maxWorkers: 1,
    bail: marking ? 0 : 1,
    testTimeout: 120_000,
    reporters: ["dot"],
    setupFiles: marking ? [join(import.meta.dirname, "support/note-seen.ts")] : [],
    sequence: { sequencer: InOrder },
  },
});

function fromRoot(path: string): string {
  return relative(ROOT, path).split(sep).join("/");
}
