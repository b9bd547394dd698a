import { existsSync } from "node:fs";
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { dirname, join } from "node:path";
import { build } from "vite";

/**
 * Bundles a program of the tests as the product is bundled, so that plain Node runs it
 * in a process of its own.
 * @param entry path from the project's root  @returns the program and what removes it again
 */
export async function bundleProgram(
  entry: string,
): Promise<{ readonly path: string; remove(): Promise<void> }> {
  const root = projectRoot();
  const parent = join(root, "out", "test-programs"); // inside the project, so that packages are found from it
  await mkdir(parent, { recursive: true });
  const folder = await mkdtemp(join(parent, "program-"));
  await build({
    root,
    configFile: false,
    logLevel: "warn",
    build: {
      ssr: true,
      target: "node20",
      outDir: folder,
      rolldownOptions: {
        input: { program: join(root, entry) },
        output: { entryFileNames: "[name].js" },
      },
    },
  });
  return { path: join(folder, "program.js"), remove: () => rm(folder, { recursive: true, force: true }) };
}

/** This file may itself run from a bundle somewhere below the root. */
function projectRoot(): string {
  let folder = import.meta.dirname;
  while (!existsSync(join(folder, "package-lock.json"))) folder = dirname(folder);
  return folder;
}
