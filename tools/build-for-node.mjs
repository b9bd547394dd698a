import { dirname } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));

/**
 * Builds sources for Node as the product's hosts are built, so that they run as they run for a person: no
 * transforming, no test runner.
 * @param {string} outDir emptied first
 * @param {import("vite").Rolldown.RolldownOptions} options `input`, and what else is not as for one program
 */
export async function buildForNode(outDir, options) {
  await build({
    root: ROOT,
    configFile: false,
    logLevel: "warn",
    build: {
      ssr: true,
      target: "node20",
      outDir,
      emptyOutDir: true,
      rolldownOptions: { output: { entryFileNames: "[name].js" }, ...options },
    },
  });
}
