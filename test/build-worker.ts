import { mkdirSync, renameSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { buildForNode } from "../tools/build-for-node.mjs";
import { newestMs } from "../tools/build-if-stale.mjs";

const ROOT = join(import.meta.dirname, "..");
const ENTRY = join(ROOT, "src/main/jobs/heavy-worker.ts");
const BUILT = join(ROOT, "out/worker/heavy-worker.js");
/** Everything that the program of a thread is made of. */
const SOURCES = ["src/shared", "src/main/jobs", "src/main/write-up"];

/**
 * Before any test whose sources start threads: bundles the program of a thread when a source is newer. Node
 * runs no TypeScript, so the sources take this bundle; the product has its own beside its hosts.
 */
export default async function setup(): Promise<void> {
  const builtMs = statSync(BUILT, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (SOURCES.every((path) => newestMs(join(ROOT, path)) < builtMs)) return;
  const making = join(ROOT, "out", `worker-${process.pid}`);
  await buildForNode(making, { input: { "heavy-worker": ENTRY } });
  mkdirSync(join(ROOT, "out/worker"), { recursive: true });
  renameSync(join(making, "heavy-worker.js"), BUILT); // whole at once: another run may be starting threads
  rmSync(making, { recursive: true, force: true });
}
