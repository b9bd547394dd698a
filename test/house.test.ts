import { readdirSync, readFileSync } from "node:fs";
import { basename, join, posix, relative, sep } from "node:path";
import { describe, expect, it } from "vitest";
import { LAUNCHER_KINDS } from "../src/shared/inputs/input.ts";

/*
 * The rooms of the house and what each may import, as the plan of the house says. Every import is read, types too:
 * a type that crosses a wall is a word that crosses it.
 */
const ROOT = join(import.meta.dirname, "..");
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  quantity: [],
  numeric: ["quantity"],
  uncertainty: ["quantity", "numeric"],
  inputs: ["quantity"],
  session: ["quantity", "inputs"],
  results: ["quantity", "session"],
  clock: ["quantity", "numeric"],
  scale: ["quantity", "numeric"],
  follow: ["quantity", "numeric"],
  kinematics: ["quantity", "numeric"],
  launch: ["quantity", "numeric", "uncertainty", "results"],
  compare: ["quantity", "numeric", "results"],
  launchers: ["quantity", "numeric", "uncertainty", "inputs", "session", "results", "launch", "compare"],
  predict: ["quantity", "numeric", "uncertainty", "session", "results", "launch", "launchers"],
  measure: [
    ...["quantity", "uncertainty", "session", "results", "clock", "scale", "follow"],
    ...["kinematics", "launch", "compare", "launchers", "predict"],
  ],
  "camera-plan": ["quantity", "numeric", "session", "results", "clock", "measure"],
  tune: [
    ...["quantity", "numeric", "uncertainty", "inputs", "session", "results", "launchers", "predict"],
    "measure",
  ],
  "next-shot": [
    ...["quantity", "numeric", "uncertainty", "inputs", "session", "results", "launch", "launchers"],
    "predict",
  ],
  figures: ["quantity", "results", "next-shot"],
  api: ["quantity", "inputs", "session", "results", "follow"],
};

/** Packages that the shared core is built on; anything else would bring a host in. */
const SHARED_PACKAGES = /^(zod|d3-scale|d3-shape|pure-rand)(\/|$)/;

interface Import {
  /** Path of the importing file from the root, with forward slashes. */
  readonly from: string;
  readonly to: string;
  /** True for "import type" and "export type": nothing of it is left when the program runs. */
  readonly typeOnly: boolean;
}

const files = sourceFiles(join(ROOT, "src"));
const imports = files.flatMap(importsOf);
const own = imports.filter((one) => one.to.startsWith("src/") || one.to.startsWith("tools/"));
const foreign = imports.filter((one) => !own.includes(one));

describe("the house", () => {
  it("reads all of its source", () => {
    expect(files.length).toBeGreaterThan(50);
    expect(imports.length).toBeGreaterThan(files.length);
  });

  it("has no room that the plan does not name", () => {
    const rooms = new Set(files.filter((file) => file.startsWith("src/shared/")).map(roomOf));
    expect([...rooms].filter((room) => !(room in MAY_IMPORT))).toEqual([]);
  });

  it("imports across rooms of the shared core only along the arrows", () => {
    const wrong = own.filter(({ from, to }) => {
      if (!from.startsWith("src/shared/")) return false;
      if (!to.startsWith("src/shared/")) return true;
      return roomOf(from) !== roomOf(to) && !MAY_IMPORT[roomOf(from)]?.includes(roomOf(to));
    });
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("allows no arrow that nothing uses", () => {
    const used = new Set(own.map(({ from, to }) => `${roomOf(from)} -> ${roomOf(to)}`));
    const allowed = Object.entries(MAY_IMPORT).flatMap(([room, others]) =>
      others.map((other) => `${room} -> ${other}`),
    );
    expect(allowed.filter((one) => !used.has(one))).toEqual([]);
  });

  it("has the rooms and arrows that the contributor's guide tells of", () => {
    const guide = readFileSync(join(ROOT, "DEVELOPERS.md"), "utf8");
    const rows = [...guide.matchAll(/^\| `([a-z-]+)` \| [^|]+ \| ([a-z, -]+) \|$/gm)];
    const told = rows.map(([, room, others]) => [room!, others === "nothing" ? [] : others!.split(", ")]);
    expect(Object.fromEntries(told)).toEqual(MAY_IMPORT);
  });

  it("keeps the catalogues of notices free of everything but quantity and each other", () => {
    const ofNotices = imports.filter(({ from }) => from.startsWith("src/shared/results/notices/"));
    expect(ofNotices.length).toBeGreaterThan(0);
    const wrong = ofNotices.filter(({ to }) => !/^src\/shared\/(results\/notices|quantity)\//.test(to));
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("keeps Node, the browser and every package but a few out of the shared core", () => {
    const wrong = foreign.filter(
      ({ from, to }) => from.startsWith("src/shared/") && !SHARED_PACKAGES.test(to),
    );
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("keeps main and renderer apart, and Node out of the renderer", () => {
    const crossing = own.filter(
      ({ from, to }) =>
        (from.startsWith("src/renderer/") && !/^src\/(renderer|shared)\//.test(to)) ||
        (from.startsWith("src/main/") && !/^(src\/(main|shared)\/|tools\/find-program\.mjs$)/.test(to)),
    );
    const node = foreign.filter(({ from, to }) => from.startsWith("src/renderer/") && to.startsWith("node:"));
    expect([...crossing, ...node].map(arrow)).toEqual([]);
  });

  it("lets nothing behind the service know of a host", () => {
    const behind = /^src\/main\/(service|jobs|media|store|write-up|example)\//;
    const host = /^src\/main\/(host\/|cli\/|[^/]+$)/;
    expect(own.filter(({ from, to }) => behind.test(from) && host.test(to)).map(arrow)).toEqual([]);
  });

  it("imports electron in the desktop host and its preload, and nowhere else", () => {
    const users = foreign.filter(({ to }) => to === "electron").map(({ from }) => from);
    expect([...new Set(users)].sort()).toEqual(["src/main/electron.ts", "src/main/preload.ts"]);
  });

  it("asks for the kind of a launcher in the two tables that have an entry of each, and nowhere else", () => {
    const kinds = LAUNCHER_KINDS.join("|");
    const asks = new RegExp(`([=!]==|\\bcase)\\s*"(${kinds})"|^\\s*"(${kinds})": [^(]`, "m");
    const asking = files.filter((file) => asks.test(readFileSync(join(ROOT, file), "utf8")));
    expect(asking.map((file) => basename(file))).toEqual(["LauncherFields.tsx", "launcher-models.ts"]);
  });

  it("has no cycles", () => {
    expect(cycleIn(own)).toEqual([]);
    // The search itself finds one when there is one.
    const loop = [
      { from: "a", to: "b", typeOnly: false },
      { from: "b", to: "c", typeOnly: true },
      { from: "c", to: "b", typeOnly: false },
    ];
    expect(cycleIn(loop)).toEqual(["b", "c", "b"]);
  });

  it("names every file after what is in it", () => {
    const vague = /^(utils?|helpers?|misc|common|index|types)\.tsx?$/;
    expect(files.filter((file) => vague.test(basename(file)))).toEqual([]);
    const shape = /^([a-z0-9]+(-[a-z0-9]+)*|[A-Z][A-Za-z0-9]*)\.(ts|tsx|d\.ts)$/;
    expect(files.filter((file) => !shape.test(basename(file)))).toEqual([]);
  });
});

function arrow({ from, to }: Pick<Import, "from" | "to">): string {
  return `${from} -> ${to}`;
}

/** The room of a file of the shared core: the folder below src/shared. */
function roomOf(file: string): string {
  return file.split("/")[2] ?? "";
}

function sourceFiles(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).split(sep).join("/"))
    .sort();
}

/** What a file imports: paths from the root for its own files, else the package's name. Styles and fonts are left out. */
function importsOf(file: string): Import[] {
  const text = readFileSync(join(ROOT, file), "utf8");
  const statements =
    /^\s*(?:import|export)\b[^;"']*?\bfrom\s*["']([^"']+)["']|^\s*import\s*["']([^"']+)["']|\bimport\(\s*["']([^"']+)["']|\bnew URL\(\s*["'](\.[^"']+)["']\s*,\s*import\.meta\.url/gm;
  return [...text.matchAll(statements)]
    .map((match) => ({
      from: file,
      to: match.slice(1).find((group) => group !== undefined)!,
      typeOnly: /^\s*(import|export)\s+type\b/.test(match[0]),
    }))
    .filter(({ to }) => !/\.(css|woff2?|svg|ttf)(\?\w+)?$/.test(to))
    .map((one) => (one.to.startsWith(".") ? { ...one, to: withinRoot(file, one.to) } : one));
}

function withinRoot(file: string, to: string): string {
  return posix.join(posix.dirname(file), to.replace(/\?\w+$/, ""));
}

/** One cycle as the files it goes through, first again last; empty when there is none. */
function cycleIn(arrows: readonly Import[]): string[] {
  const next = new Map<string, string[]>();
  for (const { from, to } of arrows) next.set(from, [...(next.get(from) ?? []), to]);
  const done = new Set<string>();
  const walk = (file: string, path: readonly string[]): string[] => {
    const at = path.indexOf(file);
    if (at >= 0) return [...path.slice(at), file];
    if (done.has(file)) return [];
    for (const to of next.get(file) ?? []) {
      const found = walk(to, [...path, file]);
      if (found.length > 0) return found;
    }
    done.add(file);
    return [];
  };
  for (const file of next.keys()) {
    const found = walk(file, []);
    if (found.length > 0) return found;
  }
  return [];
}
