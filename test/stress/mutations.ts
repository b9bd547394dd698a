import type { Chance } from "../../src/shared/quantity/chance.ts";

/** A place in a JSON document. */
export type Path = readonly (string | number)[];

type Json = unknown;

/** One change of a document at one place. */
export interface Mutation {
  readonly path: Path;
  /** What is done, for the report: "× 1000", "as text", "reversed". */
  readonly change: string;
}

/** What the acceptance asks for: every number of a document times each of these. */
export const FACTORS = [0, -1, 10, 1000, 1e6] as const;
/** What chance adds: slips of a unit the other way, and numbers at the edge of a double. */
const MORE_FACTORS = [0.5, 1.01, 1e-2, 1e-3, 1e-6, -1e-3, 1e12, 1e150, 1e300] as const;

const NUMBER_SWAPS = ["as text", "as null", "as true", "as list", "as object", "left out"] as const;
const TEXT_SWAPS = ["as number", "as null", "as list", "emptied", "left out"] as const;
const LIST_CHANGES = [
  "reversed",
  "emptied",
  "first twice",
  "last twice",
  "first left out",
  "last left out",
  "as null",
  "as object",
  "left out",
] as const;
const OBJECT_CHANGES = ["as null", "as number", "as list", "emptied", "left out"] as const;
const SWITCH_SWAPS = ["as text", "as number", "as null", "the other", "left out"] as const;

/** Every number of a document times each of the factors, in the document's order. */
export function everyNumber(document: Json, factors: readonly number[] = FACTORS): readonly Mutation[] {
  return places(document)
    .filter(({ value }) => typeof value === "number")
    .flatMap(({ path }) => factors.map((factor) => ({ path, change: times(factor) })));
}

/**
 * Every value of a document swapped for each other type, and every list put out of order,
 * in the document's order.
 */
export function everySwap(document: Json): readonly Mutation[] {
  return places(document).flatMap(({ path, value }) => swapsOf(value).map((change) => ({ path, change })));
}

/** One to three changes at places drawn at random: mostly numbers, few of the many marks. */
export function drawnMutations(document: Json, chance: Chance): readonly Mutation[] {
  const all = places(document);
  const isMark = ({ path }: Place) => path[0] === "shots" && path[2] === "marks" && path.length > 3;
  const [marks, others] = [all.filter(isMark), all.filter((one) => !isMark(one))];
  const count = 1 + Number(chance.uniform() < 0.3) + Number(chance.uniform() < 0.1);
  return Array.from({ length: count }, () => {
    const { path, value } = drawn(marks.length > 0 && chance.uniform() < 0.1 ? marks : others, chance);
    const byFactor = typeof value === "number" && chance.uniform() < 0.85;
    const change = byFactor
      ? times(drawn([...FACTORS, ...MORE_FACTORS], chance))
      : drawn(swapsOf(value), chance);
    return { path, change };
  });
}

/**
 * A fresh copy of a document with the changes made; one whose place an earlier change
 * took away is passed over.
 */
export function mutated(document: Json, mutations: readonly Mutation[]): Json {
  // As it is read from a file: what stands at two places is not one thing, which both would change.
  const copy = JSON.parse(JSON.stringify(document)) as Json;
  for (const { path, change } of mutations) {
    const key = path.at(-1);
    const holder = path.slice(0, -1).reduce<Json>((at, step) => inside(at, step), copy);
    if (key === undefined || typeof holder !== "object" || holder === null || !Object.hasOwn(holder, key))
      continue;
    const into = holder as Record<string | number, Json>;
    if (change === "left out") {
      if (Array.isArray(into)) into.splice(Number(key), 1);
      else delete into[key];
    } else into[key] = changed(into[key], change);
  }
  return copy;
}

/**
 * Where the place of a change stands once later changes were made: an entry before it in a list may be gone,
 * or stand twice.
 */
export function placeAfter(path: Path, later: readonly Mutation[]): Path {
  return later.reduce(
    (now, { path: other, change }) =>
      now.map((step, i) => {
        if (typeof step !== "number") return step;
        const list = now.slice(0, i);
        const isOf = (way: Path) => pathText(way) === pathText(list);
        const [before, index] = [other.slice(0, -1), other.at(-1)];
        if (change === "left out" && isOf(before) && typeof index === "number" && index < step)
          return step - 1;
        if (change === "first left out" && isOf(other)) return step - 1;
        return change === "first twice" && isOf(other) ? step + 1 : step;
      }),
    path,
  );
}

/** `shots[0].marks[3].x × 1000` */
export function mutationText(mutations: readonly Mutation[]): string {
  return mutations.map(({ path, change }) => `${pathText(path)} ${change}`).join(" and ");
}

export function pathText(path: Path): string {
  return path
    .map((step, i) => (typeof step === "number" ? `[${step}]` : i === 0 ? step : `.${step}`))
    .join("");
}

interface Place {
  readonly path: Path;
  readonly value: Json;
}

/** Every place of a document but its root. */
function places(node: Json, path: Path = []): readonly Place[] {
  const own = path.length === 0 ? [] : [{ path, value: node }];
  if (typeof node !== "object" || node === null) return own;
  const steps = Array.isArray(node) ? [...node.keys()] : Object.keys(node);
  return [...own, ...steps.flatMap((step) => places(inside(node, step), [...path, step]))];
}

function inside(node: Json, step: string | number): Json {
  if (typeof node !== "object" || node === null) return undefined;
  return (node as Record<string | number, Json>)[step];
}

function swapsOf(value: Json): readonly string[] {
  if (typeof value === "number") return NUMBER_SWAPS;
  if (typeof value === "string") return TEXT_SWAPS;
  if (typeof value === "boolean") return SWITCH_SWAPS;
  if (Array.isArray(value)) return LIST_CHANGES;
  return value === null ? ["as number", "as text"] : OBJECT_CHANGES;
}

const TIMES = "× ";

function times(factor: number): string {
  return TIMES + String(factor);
}

function changed(value: Json, change: string): Json {
  if (change.startsWith(TIMES)) return (value as number) * Number(change.slice(TIMES.length));
  switch (change) {
    case "as text":
      return `${value}`;
    case "as number":
      return 7;
    case "as null":
      return null;
    case "as true":
      return true;
    case "as list":
      return [];
    case "as object":
      return {};
    case "the other":
      return value !== true;
    case "emptied":
      return typeof value === "string" ? "" : Array.isArray(value) ? [] : {};
    default:
      return Array.isArray(value) ? reordered(value, change) : value;
  }
}

function reordered(list: readonly Json[], change: string): Json {
  const [first, last] = [list.slice(0, 1), list.slice(-1)];
  switch (change) {
    case "reversed":
      return list.toReversed();
    case "first twice":
      return [...first, ...list];
    case "last twice":
      return [...list, ...last];
    case "first left out":
      return list.slice(1);
    case "last left out":
      return list.slice(0, -1);
    default:
      return list;
  }
}

function drawn<T>(from: readonly T[], chance: Chance): T {
  return from[Math.min(from.length - 1, Math.floor(from.length * chance.uniform()))] as T;
}
