import { readdirSync, readFileSync } from "node:fs";
import { basename, join, posix, relative, sep } from "node:path";
import { describe, expect, it } from "vitest";

/*
 * The rooms of the house and what each may import, as the plan of the house says. Every import is read, types too:
 * a type that crosses a wall is a word that crosses it.
 */
const ROOT = join(import.meta.dirname, "..");
const SHARED = [
  "quantity",
  "numeric",
  "inputs",
  "session",
  "clock",
  "scale",
  "follow",
  "kinematics",
  "launch",
  "compare",
];

const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  quantity: [],
  numeric: ["quantity"],
  inputs: ["quantity"],
  session: ["quantity", "inputs"],
  clock: ["quantity", "numeric"],
  scale: ["quantity", "numeric"],
  follow: ["quantity", "numeric", "clock", "scale"],
  kinematics: ["quantity", "numeric", "clock", "scale"],
  launch: ["quantity", "numeric"],
  compare: ["quantity", "numeric", "kinematics", "launch"],
  shot: SHARED,
  example: ["quantity", "session", "launch"],
  plan: ["quantity", "numeric", "clock", "scale", "kinematics", "launch", "session", "shot"],
  tune: ["quantity", "numeric", "launch", "kinematics", "inputs", "session", "shot"],
  next: ["quantity", "numeric", "launch", "inputs", "session", "shot"],
  figures: [...SHARED, "shot", "example", "next"],
  api: ["quantity", "inputs", "session", "follow"],
};

/**
 * The names and shapes of results: types only, importing nothing but quantity and the codes of notices, so
 * that the rooms that make results and the room that gathers them speak of the same things. Its types may be
 * imported anywhere but in quantity.
 */
const RESULT_WORDS = "src/shared/shot/shot-result.ts";
/**
 * Catalogues of notices rest on quantity, on each other, and on what the launchers' room says of launchers.
 */
const NOTICES = /^src\/shared\/(shot\/notices\/|launch\/launch-notices\.ts$|quantity\/)/;

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
    const wrong = own.filter(({ from, to, typeOnly }) => {
      if (!from.startsWith("src/shared/")) return false;
      if (!to.startsWith("src/shared/")) return true;
      if (to === RESULT_WORDS && typeOnly && roomOf(from) !== "quantity") return false;
      return roomOf(from) !== roomOf(to) && !MAY_IMPORT[roomOf(from)]?.includes(roomOf(to));
    });
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("keeps the words of results free of everything but quantity and the catalogues of notices", () => {
    const ofWords = imports.filter(({ from }) => from === RESULT_WORDS);
    const wrong = ofWords.filter(({ to }) => !NOTICES.test(to));
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("keeps the catalogues of notices free of everything but quantity and each other", () => {
    const ofNotices = imports.filter(({ from }) => from.startsWith("src/shared/shot/notices/"));
    expect(ofNotices.length).toBeGreaterThan(0);
    expect(ofNotices.filter(({ to }) => !NOTICES.test(to)).map(arrow)).toEqual([]);
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
