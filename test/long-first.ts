import { existsSync } from "node:fs";
import { join, relative } from "node:path";
import { BaseSequencer, type TestSpecification } from "vitest/node";

const ROOT = import.meta.dirname;

/** The files that take longest, the longest first, of the two kinds that run last. */
const LONG = [
  "main/cli/example-variants.test.ts",
  "stress/sweep.test.ts",
  "main/example/measure-variants.test.ts",
  "main/service/large-session.test.ts",
  "stress/crash.test.ts",
  "main/media/leftovers.test.ts",
  "main/media/exact-frames.test.ts",
  "main/media/damaged-clips.test.ts",
  "main/media/frame-cache.test.ts",
  "main/example/draw-variants.test.ts",
];

const missing = LONG.filter((name) => !existsSync(join(ROOT, name)));
if (missing.length > 0) throw new Error(`test/long-first.ts lists files that are not there: ${missing}`);

/**
 * The usual order, but the long files of a project begin it: one that begins last runs on alone, while the
 * other cores wait. The runner learns how long files take only from a run before.
 */
export class LongFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const projects = [...new Set(sorted.map(({ project }) => project))];
    return projects.flatMap((project) =>
      sorted.filter((file) => file.project === project).sort((a, b) => placeOf(a) - placeOf(b)),
    );
  }
}

function placeOf({ moduleId }: TestSpecification): number {
  const place = LONG.indexOf(relative(ROOT, moduleId).replaceAll("\\", "/"));
  return place === -1 ? LONG.length : place;
}
