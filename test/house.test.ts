import { readdirSync, readFileSync } from "node:fs";
import { basename, join, posix, relative, sep } from "node:path";
import { describe, expect, it } from "vitest";
import { LAUNCHER_KINDS } from "../src/shared/inputs/input.ts";

/*
 * The rooms of the house and what each may import, as the plan of the house says. Every import is read, types
 * too: a type that crosses a wall is a word that crosses it.
 */
const ROOT = join(import.meta.dirname, "..");
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  quantity: [],
  numeric: ["quantity"],
  uncertainty: ["quantity", "numeric"],
  inputs: ["quantity"],
  session: ["quantity", "inputs"],
  results: ["quantity", "session"],
  shelf: ["quantity", "inputs", "session"],
  clock: ["quantity", "numeric"],
  scale: ["quantity", "numeric"],
  follow: ["quantity", "numeric"],
  background: ["quantity", "numeric", "scale", "follow"],
  propose: ["quantity", "numeric", "follow"],
  carry: ["quantity", "numeric", "inputs", "session", "scale", "follow", "background"],
  kinematics: ["quantity", "numeric"],
  curve: ["quantity", "numeric"],
  launch: ["quantity", "numeric", "uncertainty", "results"],
  compare: ["quantity", "numeric", "results"],
  launchers: ["quantity", "numeric", "uncertainty", "inputs", "session", "results", "launch", "compare"],
  predict: ["quantity", "numeric", "uncertainty", "inputs", "session", "results", "launch", "launchers"],
  measure: [
    ...["quantity", "uncertainty", "inputs", "session", "results", "clock", "scale", "follow"],
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
  outings: ["quantity", "session", "results", "measure", "next-shot"],
  "on-board": ["quantity", "uncertainty", "session", "results", "curve", "launch", "launchers"],
  figures: ["quantity", "curve", "results", "next-shot", "on-board"],
  api: ["quantity", "inputs", "session", "shelf", "results", "follow", "carry"],
  beside: ["quantity", "session", "results", "clock", "scale", "measure"],
  day: ["quantity", "session", "results", "launchers", "next-shot"],
};

/** The folders of the window, by their paths below src/renderer; its root puts them together. */
const WINDOW_MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  store: [],
  host: [],
  saving: [],
  workers: [],
  boundary: [],
  "element-size": [],
  theme: ["store"],
  viewport: ["store"],
  "app-state": ["host", "saving"],
  picking: ["app-state"],
  actions: ["store", "host", "saving", "workers", "theme", "viewport", "app-state", "picking"],
  strip: ["app-state", "picking", "actions"],
  frame: ["store", "host", "saving", "viewport", "app-state", "picking", "actions", "strip"],
  shots: ["store", "host", "saving", "app-state", "actions"],
  "ledger/fields": ["app-state", "actions"],
  "ledger/parts": ["host", "boundary", "app-state", "actions", "guide", "charts", "ledger/fields"],
  "ledger/history": ["saving", "app-state", "actions"],
  "ledger/clip": ["app-state", "actions", "ledger/fields", "ledger/parts"],
  "ledger/clock": ["saving", "app-state", "picking", "actions", "guide", "ledger/fields", "ledger/parts"],
  "ledger/scale": ["app-state", "picking", "actions", "guide", "ledger/fields", "ledger/parts"],
  "ledger/marks": ["app-state", "picking", "actions", "strip", "frame", "ledger/fields", "ledger/parts"],
  "ledger/motion": ["app-state", "actions", "charts", "strip", "ledger/fields", "ledger/parts"],
  "ledger/model": ["element-size", "app-state", "actions", "charts", "ledger/fields", "ledger/parts"],
  "ledger/verdict": ["saving", "actions", "charts", "ledger/fields", "ledger/parts"],
  "ledger/tuning": ["saving", "app-state", "actions", "guide", "ledger/fields", "ledger/parts"],
  "ledger/next-shot": ["workers", "actions", "guide", "charts", "ledger/fields", "ledger/parts"],
  "camera-plan": ["workers", "app-state", "picking", "actions", "ledger/fields", "ledger/parts"],
  guide: ["actions"],
  charts: ["store", "boundary", "app-state", "strip", "actions", "guide"],
  beside: ["host", "element-size", "app-state", "actions", "frame"],
  day: ["workers", "app-state", "actions", "charts", "beside", "ledger/fields"],
  ledger: [
    ...["store", "saving", "app-state", "actions", "camera-plan", "ledger/fields", "ledger/parts"],
    ...["ledger/history", "ledger/clip", "ledger/clock", "ledger/scale", "ledger/marks", "ledger/motion"],
    ...["ledger/model", "ledger/verdict", "ledger/tuning", "ledger/next-shot"],
  ],
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

  describe.each([
    ["the shared core", "src/shared/", MAY_IMPORT],
    ["the window", "src/renderer/", WINDOW_MAY_IMPORT],
  ] as const)("in %s", (_, top, may) => {
    const inside = own.filter(({ from }) => from.startsWith(top) && roomOf(from) !== "");
    const across = inside.filter(({ from, to }) => to.startsWith(top) && roomOf(from) !== roomOf(to));

    it("has no room that the plan does not name", () => {
      const rooms = new Set(files.filter((file) => file.startsWith(top)).map(roomOf));
      rooms.delete("");
      expect([...rooms].sort()).toEqual(Object.keys(may).sort());
    });

    it("imports from room to room only along the arrows, and allows none that nothing uses", () => {
      const used = new Set(across.map(({ from, to }) => `${roomOf(from)} -> ${roomOf(to)}`));
      const allowed = Object.entries(may).flatMap(([room, others]) =>
        others.map((other) => `${room} -> ${other}`),
      );
      expect([...used].sort()).toEqual(allowed.sort());
    });
  });

  it("has nothing in the shared core that rests on what is outside it", () => {
    const wrong = own.filter(
      ({ from, to }) => from.startsWith("src/shared/") && !to.startsWith("src/shared/"),
    );
    expect(wrong.map(arrow)).toEqual([]);
  });

  it("has the rooms and arrows that the contributor's guide tells of", () => {
    const guide = readFileSync(join(ROOT, "DEVELOPERS.md"), "utf8");
    const rows = [...guide.matchAll(/^\| `([a-z/-]+)` \| [^|]+ \| ([a-z, /-]+) \|$/gm)];
    const told = rows.map(([, room, others]) => [
      room!,
      others === "nothing" ? [] : others!.split(", ").sort(),
    ]);
    const planned = Object.entries({ ...MAY_IMPORT, ...WINDOW_MAY_IMPORT }).map(([room, others]) => [
      room,
      [...others].sort(),
    ]);
    expect(Object.fromEntries(told)).toEqual(Object.fromEntries(planned));
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

  it("hands the whole document to those who begin a piece of work, plain inputs to all below them", () => {
    const deep = /^src\/shared\/(measure|predict|launchers|next-shot|tune)\//;
    const whole = files.filter(
      (file) => deep.test(file) && /:\s*Session\b/.test(readFileSync(join(ROOT, file), "utf8")),
    );
    expect(whole.map((file) => file.replace("src/shared/", ""))).toEqual([
      "measure/measure-shot.ts",
      "measure/measured-part.ts",
      "measure/measurer.ts",
      "next-shot/next-shot.ts",
      "next-shot/speed-card.ts",
      "predict/predict-shot.ts",
      "tune/tune-faults.ts",
      "tune/tune-session.ts",
    ]);
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

  it("has its tests in folders of the rooms they test", () => {
    const rooms = new Set(files.map((file) => posix.dirname(file).replace(/^src/, "test")));
    const tests = ["main", "renderer", "shared"].flatMap((top) => sourceFiles(join(ROOT, "test", top)));
    const testing = tests.filter((file) => file.includes(".test."));
    expect(testing.length).toBeGreaterThan(100);
    expect(testing.filter((file) => !rooms.has(posix.dirname(file)))).toEqual([]);
  });

  it("draws the inputs of every property test from one seed", () => {
    const own = sourceFiles(join(ROOT, "test")).filter((file) =>
      /^import .* from "fast-check"/m.test(readFileSync(join(ROOT, file), "utf8")),
    );
    expect(own).toEqual(["test/support/drawn-inputs.ts"]);
  });

  it("keeps comments within 110 columns, as the formatter keeps the code", () => {
    const wide = ["src", "test", "tools"].flatMap((folder) =>
      sourceFiles(join(ROOT, folder)).flatMap((file) => {
        const lines = readFileSync(join(ROOT, file), "utf8").split("\n");
        return lines.flatMap((line, at) =>
          [...line].length > 110 && /^\s*(\/\*|\*|\/\/)/.test(line) && !/biome-ignore/.test(line)
            ? [`${file}:${at + 1}`]
            : [],
        );
      }),
    );
    expect(wide).toEqual([]);
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

/**
 * The room of a file: its folder below src/shared, with the folder in it below src/renderer; "" at the top.
 */
function roomOf(file: string): string {
  const [, top, ...below] = file.split("/");
  return below.slice(0, Math.min(below.length - 1, top === "renderer" ? 2 : 1)).join("/");
}

function sourceFiles(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.(tsx?|mjs)$/.test(entry.name))
    .map((entry) => relative(ROOT, join(entry.parentPath, entry.name)).split(sep).join("/"))
    .sort();
}

/**
 * What a file imports: paths from the root for its own files, else the package's name.
 * Styles and fonts are left out.
 */
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
