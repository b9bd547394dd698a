import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { INPUTS, inputAtPath, tablePath } from "../../../src/shared/inputs/all-inputs.ts";
import type { Input, LauncherKind } from "../../../src/shared/inputs/input.ts";
import { sessionJsonSchema } from "../../../src/shared/session/json-schema.ts";
import {
  ElasticLauncherSchema,
  RamLauncherSchema,
  RocketLauncherSchema,
} from "../../../src/shared/session/launcher-schemas.ts";

interface Node {
  readonly type?: string;
  readonly const?: unknown;
  readonly properties?: Readonly<Record<string, Node>>;
  readonly items?: Node;
  readonly prefixItems?: readonly Node[];
  readonly anyOf?: readonly Node[];
  readonly oneOf?: readonly Node[];
}

/**
 * Not typed by anyone: versions and editions, and tuned values with the settings they were found at, whose
 * ranges are those of the inputs they stand for.
 * Nor is how the camera moved, which is found in the clip, where another shot had what was carried over, or
 * what was read in another outing's folder, where its own session holds it to these ranges.
 */
const NOT_TYPED = [
  "clips[].bytes",
  "shots[].log.bytes",
  "shelved[].edition",
  "tuning.from.tested[].low",
  "tuning.from.tested[].high",
  "version",
  "tuning.tuned.values[]",
  "tuning.tuned.others[].value",
  "tuning.tuned.rivals[].values[]",
];

describe("the table of inputs", () => {
  it("has every number of the session's schema, and no other, each once", () => {
    const inSchema = numbersOf(sessionJsonSchema() as Node, "", null).filter(
      ([path]) =>
        !NOT_TYPED.includes(path) &&
        !path.startsWith("shots[].movement.") &&
        !path.includes(".carried.") &&
        !path.startsWith("outings[]."),
    );
    const inTable = INPUTS.map(({ path, of }) => `${of ?? ""} ${path}`);
    expect([...new Set(inSchema.map(([path, of]) => `${of ?? ""} ${path}`))].sort()).toEqual(inTable.sort());
    expect(new Set(inTable).size).toBe(inTable.length);
    expect(inTable.length).toBe(190);
  });

  it("says of each whether it is measured or a plain number, as the schema does", () => {
    const forms = new Map(
      numbersOf(sessionJsonSchema() as Node, "", null).map(([path, of, form]) => [
        `${of ?? ""} ${path}`,
        form,
      ]),
    );
    const wrong = INPUTS.filter(({ path, of, form }) => forms.get(`${of ?? ""} ${path}`) !== form);
    expect(wrong.map(({ path }) => path)).toEqual([]);
  });

  it("has a plausible range inside the possible one, a source, and words with an article", () => {
    for (const { path, possible, plausible, source, words, label } of INPUTS) {
      expect(plausible[0], path).toBeGreaterThanOrEqual(possible[0]);
      expect(plausible[1], path).toBeLessThanOrEqual(possible[1]);
      expect(plausible[1], path).toBeGreaterThan(plausible[0]);
      expect(source.length, path).toBeGreaterThan(5);
      expect(words, path).toMatch(/^(the|a|an|one|how|what) /);
      expect(label, path).not.toBe("");
    }
  });

  it("finds an input by its path within the kind of launcher, and a place in a document by its path in the table", () => {
    expect(inputAtPath("launcher.slidingN", "rocket-boost")).toMatchObject({
      words: "the friction along the cradle",
    });
    expect(inputAtPath("launcher.slidingN", "elastic-line")).toMatchObject({ words: "the friction" });
    expect(inputAtPath("launcher.boreM", "rocket-boost")).toBeNull();
    expect(inputAtPath("airframe.massKg", null)).toMatchObject({ form: "measured" });
    expect(tablePath(["shots", 3, "marks", 12, "x"], null)).toBe("shots[].marks[].x");
    expect(tablePath(["shots", 0, "scale", "a", 1], null)).toBe("shots[].scale.a[1]");
    expect(tablePath(["title"], null)).toBeNull();
  });

  it("has every path that a field of the window names", () => {
    const named = namedInForm(/path="([^"]+)"/g);
    expect(named.length).toBeGreaterThan(40);
    const valves = ["launcher.valve", "launcher.rodChamber.vent", "launcher.moreValves[].valve"];
    const kinds: readonly LauncherKind[] = ["compressed-air-ram", "rocket-boost", "elastic-line"];
    const there = (path: string) => kinds.some((kind) => inputAtPath(path, kind) !== null);
    expect(named.filter((path) => !there(path) && !valves.includes(path))).toEqual([]);
  });

  it("leaves to the form only parts of a launcher that a document has: choices and tables", () => {
    const named = namedInForm(/part="launcher\.([^"]+)"/g);
    expect(named.length).toBeGreaterThan(5);
    const has = [RamLauncherSchema, RocketLauncherSchema, ElasticLauncherSchema].flatMap(({ shape }) =>
      Object.keys(shape),
    );
    expect(named.filter((part) => !has.includes(part))).toEqual([]);
  });
});

/** What the ledger's files name by a pattern with one group. */
function namedInForm(pattern: RegExp): readonly string[] {
  const ledger = join(import.meta.dirname, "../../../src/renderer/ledger");
  return readdirSync(ledger, { recursive: true, encoding: "utf8" })
    .filter((file) => file.endsWith(".tsx"))
    .flatMap((file) =>
      [...readFileSync(join(ledger, file), "utf8").matchAll(pattern)].map(([, name]) => name as string),
    );
}

/** The table speaks of one airframe, launcher and tuning; a document lists them. */
const ONE_OF: Readonly<Record<string, string>> = {
  airframes: "airframe",
  launchers: "launcher",
  tunings: "tuning",
};

type Found = readonly [path: string, of: Input["of"], form: Input["form"]];

/**
 * Every number of a JSON Schema by its path in the table's manner, with the kind of launcher it belongs to.
 */
function numbersOf(node: Node, path: string, of: LauncherKind | null): readonly Found[] {
  const choices = [...(node.anyOf ?? []), ...(node.oneOf ?? [])];
  if (choices.length > 0) return choices.flatMap((choice) => numbersOf(choice, path, of));
  if (node.type === "number") return [[path, of, "number"]];
  if (node.type === "integer") return [[path, of, "whole"]];
  if (node.prefixItems !== undefined) {
    return node.prefixItems.flatMap((item, i) => numbersOf(item, `${path}[${i}]`, of));
  }
  if (node.items !== undefined) return numbersOf(node.items, ONE_OF[path] ?? `${path}[]`, of);
  const { properties } = node;
  if (properties === undefined) return [];
  if ("value" in properties && "u" in properties) return [[path, of, "measured"]];
  const kind = path === "launcher" ? (properties.kind?.const as LauncherKind) : of;
  return Object.entries(properties).flatMap(([key, inside]) =>
    numbersOf(inside, path === "" ? key : `${path}.${key}`, kind),
  );
}
