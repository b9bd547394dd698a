import { readdirSync, renameSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";
import { newestMs } from "./build-if-stale.mjs";

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const SOURCES = join(ROOT, "src", "shared");
/** Where the built core lies: the tree of src/shared, each .ts file as .js. */
export const BUILT_CORE = join(ROOT, "out", "core");

/**
 * Builds src/shared file for file, so that a whole run of the tests loads it as Node's own modules: the test
 * runner's way of loading sources makes every use of an import a look into an object, which numerics feel.
 */
export async function buildCore() {
  const builtMs = statSync(BUILT_CORE, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (newestMs(SOURCES) < builtMs) return;
  const making = join(ROOT, "out", `core-${process.pid}`);
  await build({
    root: ROOT,
    configFile: false,
    logLevel: "warn",
    build: {
      ssr: true,
      target: "node20",
      outDir: making,
      rolldownOptions: {
        input: sources(),
        preserveEntrySignatures: "strict",
        treeshake: false, // what only a test uses stays too
        output: {
          preserveModules: true,
          preserveModulesRoot: SOURCES,
          entryFileNames: "[name].js",
          minify: false,
        },
      },
    },
  });
  rmSync(BUILT_CORE, { recursive: true, force: true });
  renameSync(making, BUILT_CORE);
}

/** @returns {string[]} every source of the core */
function sources() {
  return readdirSync(SOURCES, { recursive: true, encoding: "utf8" })
    .filter((path) => path.endsWith(".ts"))
    .map((path) => join(SOURCES, path));
}
