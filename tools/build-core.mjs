import { readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { buildForNode } from "./build-for-node.mjs";

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
const SOURCES = join(ROOT, "src", "shared");
/** Where the built core lies: the tree of src/shared, each .ts file as .js. */
export const BUILT_CORE = join(ROOT, "out", "core");

/**
 * Builds src/shared file for file, so that a whole run of the tests loads it as Node's own modules: the test
 * runner's way of loading sources makes every use of an import a look into an object, which numerics feel.
 * @returns {Promise<boolean>} false when the build failed; it has said why
 */
export async function buildCore() {
  const output = /** @type {const} */ ({
    preserveModules: true,
    preserveModulesRoot: SOURCES,
    entryFileNames: "[name].js",
    minify: false,
  });
  try {
    await buildForNode(BUILT_CORE, {
      input: sources(),
      preserveEntrySignatures: "strict",
      treeshake: false, // what only a test uses stays too
      output,
    });
    return true;
  } catch (error) {
    console.error(error);
    return false;
  }
}

/** @returns {string[]} every source of the core */
function sources() {
  return readdirSync(SOURCES, { recursive: true, encoding: "utf8" })
    .filter((path) => path.endsWith(".ts"))
    .map((path) => join(SOURCES, path));
}
