import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join, posix } from "node:path";
import { describe, expect, it } from "vitest";

/*
 * `tsc -b` checks the projects that tsconfig.json refers to, each file in one of them. Which options hold for
 * a file is asked of the compiler itself, so that nothing hides behind an `extends`.
 */
const ROOT = join(import.meta.dirname, "..");
const UNCHECKED = ["tsconfig.kernels.json", "tsconfig.curves.json"];

/** Rooms of array mathematics: their indices are of loops over the arrays they index. */
const KERNEL_FILE =
  /^src\/(shared\/(numeric|uncertainty|clock|scale|follow|background|propose|kinematics|curve|launch|compare|tune|figures)\/|main\/example\/(draw|example)-)/;

interface Project {
  readonly compilerOptions: Readonly<Record<string, unknown>>;
  readonly files: readonly string[];
}

const names = ["tsconfig.json", ...referencesOf("tsconfig.json").map((path) => posix.normalize(path))];
const projects = new Map(names.map((name) => [name, shownBy(name)]));

describe("the type projects", () => {
  it("are all there are, and hold every source, test and tool once", () => {
    const configs = readdirSync(ROOT).filter((name) => /^tsconfig.*\.json$/.test(name));
    expect([...names].sort()).toEqual(configs.sort());
    const held = [...projects.values()].flatMap(({ files }) => files).sort();
    expect(held).toEqual([...new Set(held)]);
    const missing = ["src", "test", "tools"].flatMap(typedFilesBelow).filter((file) => !held.includes(file));
    expect(missing).toEqual([]);
  });

  it("let an index pass unchecked in the kernels alone", () => {
    const unchecked = names.filter((name) => optionsOf(name).noUncheckedIndexedAccess !== true);
    expect(unchecked).toEqual(UNCHECKED);
    const files = unchecked.flatMap((name) => projects.get(name)?.files ?? []);
    expect(files.length).toBeGreaterThan(100);
    expect(files.filter((file) => !KERNEL_FILE.test(file))).toEqual([]);
  });

  it("differ in nothing else that decides what is an error", () => {
    const strictness = (name: string) => {
      const rules = Object.entries(optionsOf(name)).filter(([key]) =>
        /^(strict|no(?!Emit|UncheckedI)|exact)/.test(key),
      );
      return Object.fromEntries(rules);
    };
    expect(Object.keys(strictness("tsconfig.json"))).toContain("exactOptionalPropertyTypes");
    for (const name of names) expect([name, strictness(name)]).toEqual([name, strictness("tsconfig.json")]);
  });

  it("check the tools, which are plain JavaScript, by their comments", () => {
    expect(optionsOf("tsconfig.json")).toMatchObject({ allowJs: true, checkJs: true });
  });

  it("know neither Node nor the browser outside of the hosts, the page and the tests", () => {
    for (const name of names.slice(1)) {
      expect([name, optionsOf(name).lib, optionsOf(name).types]).toEqual([name, ["es2023"], []]);
    }
    const shared = projects.get("tsconfig.json")?.files.filter((file) => file.startsWith("src/shared/"));
    expect(shared).toEqual([]);
  });
});

function optionsOf(name: string): Readonly<Record<string, unknown>> {
  const project = projects.get(name);
  if (project === undefined) throw new RangeError(`no project ${name}`);
  return project.compilerOptions;
}

function referencesOf(name: string): readonly string[] {
  const config = JSON.parse(readFileSync(join(ROOT, name), "utf8")) as {
    readonly references?: readonly { readonly path: string }[];
  };
  return config.references?.map(({ path }) => path) ?? [];
}

function shownBy(name: string): Project {
  const compiler = join(ROOT, "node_modules", "typescript", "bin", "tsc");
  const { stdout } = spawnSync(process.execPath, [compiler, "-p", name, "--showConfig"], {
    cwd: ROOT,
    encoding: "utf8",
  });
  const shown = JSON.parse(stdout) as Project;
  return { ...shown, files: shown.files.map((file) => posix.normalize(file)) };
}

function typedFilesBelow(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder), { recursive: true, encoding: "utf8" })
    .filter((name) => /\.(tsx?|mjs)$/.test(name))
    .map((name) => posix.join(folder, name.replaceAll("\\", "/")));
}
