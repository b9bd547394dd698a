import { join, resolve, sep } from "node:path";
import type { ViteUserConfig } from "vitest/config";
import { BUILT_CORE } from "../tools/build-core.mjs";

const SOURCES = join(import.meta.dirname, "..", "src", "shared") + sep;

/** Set by `npm test`, which has built the core before. */
const isBuilt = process.env.LOFTMARK_CORE === "built";

/**
 * What a project of the tests takes on so that every import of a source of src/shared leads to its built
 * file, which Node loads by itself: tests of the numerics then take up to a third less. Nothing in a run of
 * single files, which so needs no build and shows the sources in its traces.
 */
export function builtCore(): Pick<ViteUserConfig, "plugins"> & { readonly deps: object } {
  if (!isBuilt) return { deps: {} };
  return {
    plugins: [
      {
        name: "built core",
        enforce: "pre",
        resolveId(source, importer) {
          if (importer === undefined || !source.startsWith(".") || !source.endsWith(".ts")) return null;
          const path = resolve(importer, "..", source);
          if (!path.startsWith(SOURCES)) return null;
          return join(BUILT_CORE, path.slice(SOURCES.length).replace(/\.ts$/, ".js"));
        },
      },
    ],
    deps: { server: { deps: { external: [/\/out\/core\/.*\.js$/] } } },
  };
}
