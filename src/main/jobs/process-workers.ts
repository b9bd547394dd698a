import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { createWorkers, type Workers } from "./workers.ts";

let made: Workers | null = null;

/**
 * The threads of this process, shared by all that work in it: one core is left to the
 * host, which has to answer.
 */
export function processWorkers(): Workers {
  made ??= createWorkers({
    file: findWorkerFile(import.meta.dirname),
    most: Math.max(1, availableParallelism() - 1),
  });
  return made;
}

/**
 * The built program of a thread: beside the bundle that runs, or in out/ when the sources run.
 * @throws Error when it is not built
 */
export function findWorkerFile(from: string): string {
  const places = ["heavy-worker.js", "../heavy-worker.js", "../../../out/worker/heavy-worker.js"];
  const found = places.map((place) => join(from, place)).find((place) => existsSync(place));
  if (found === undefined) throw new Error("The program of the threads is not built: run `npm run build`.");
  return found;
}
