import { entryUnit } from "../inputs/entry-unit.ts";
import { foundInputs } from "../inputs/found-inputs.ts";
import type { Input, LauncherKind } from "../inputs/input.ts";
import { valueText, wordsAt } from "../inputs/judge-input.ts";
import { modelInputOrNull } from "../inputs/model-input.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ShelfAirframe, ShelfCamera, ShelfLauncher, ShelfThing } from "./shelf-schema.ts";

/** One field of a thing: what it is called and what it holds, for a person. */
export interface ThingValue {
  readonly words: string;
  /** With its ± and unit where it is a number. */
  readonly text: string;
  /** What is compared: two texts may be the same where this is not. */
  readonly held: unknown;
}

type Json = Readonly<Record<string, unknown>>;
type Path = readonly (string | number)[];

/** What is no number of the table of inputs, by its name in the document. */
const OTHER_WORDS: Readonly<Record<string, string>> = {
  name: "name",
  kind: "kind of launcher",
  tankMaterial: "what the tank is made of",
  hold: "what holds the airframe",
  gas: "heat exchange of the gas",
  by: "how it is stated",
  lit: "whether the motor lights",
  loading: "pull while drawing out",
  unloading: "pull while letting in",
  points: "thrust curve",
  openingCurve: "how the valve opens",
  turnsOnCradle: "whether it turns on the cradle",
  covariance: "how sure the lens is",
  leftPx: "what the lens fit left, px",
  picturePx: "pictures the lens holds for, px",
};
/** Names for the document alone. */
const NOT_SHOWN = new Set(["id"]);

/** Every field of a thing that holds something, by a key that is the same in every edition of it. */
export function valuesOf(thing: ShelfThing, units: UnitSet): ReadonlyMap<string, ThingValue> {
  switch (thing.of) {
    case "airframe":
      return ofAirframe(thing, units);
    case "launcher":
      return ofLauncher(thing, units);
    case "camera":
      return ofCamera(thing, units);
  }
}

function ofAirframe({ airframe, points }: ShelfAirframe, units: UnitSet): ReadonlyMap<string, ThingValue> {
  const { centreOfGravity: balance, ...rest } = airframe;
  const values = new Map([
    ...numbers({ airframe }, null, units),
    ...others(rest, numbers({ airframe: rest }, null, units), ["airframe"]),
  ]);
  const named = (pointId: string) => points.find(({ id }) => id === pointId)?.name ?? pointId;
  if (balance !== null) {
    const line = `${named(balance.fromPointId)} to ${named(balance.towardPointId)}`;
    values.set("balance", { words: "line it balances along", text: line, held: line });
  }
  for (const { name, body } of points) {
    values.set(`point ${name}`, { words: `point ${name}`, text: "there", held: name });
    for (const [key, value] of numbers({ points: [{ body }] }, null, units)) {
      values.set(`${name} ${key}`, { ...value, words: `${value.words}, ${name}` });
    }
  }
  return values;
}

function ofLauncher({ launcher, tuning }: ShelfLauncher, units: UnitSet): ReadonlyMap<string, ThingValue> {
  const stated = numbers({ launcher }, launcher.kind, units);
  const values = new Map([...stated, ...others(launcher, stated, ["launcher"])]);
  if (tuning === null) return values;
  const { tuned, parameters, from, use } = tuning;
  const moved = [
    ...parameters.map((path, i) => ({ path, value: tuned.values[i] })),
    ...(tuned.others ?? []).filter((one) => one.moved),
  ];
  for (const { path, value } of moved) {
    const input = modelInputOrNull(launcher.kind, path);
    if (input === null || value === undefined) continue;
    const { symbol, factor, offset } = input.unit;
    const text = measuredText(value, symbol, factor, offset);
    values.set(`tuned ${path}`, { words: `tuned ${input.bare}`, text, held: value });
  }
  const scatter = `${(100 * tuned.scatter).toFixed(1)} %`;
  values.set("tuned scatter", { words: "scatter from shot to shot", text: scatter, held: tuned.scatter });
  const where = `${from.outing}: ${from.shots.join(", ")}`;
  values.set("tuned from", { words: "tuned in", text: where, held: from });
  const used = use ? "as tuned" : "as stated";
  values.set("tuned use", { words: "values that predictions use", text: used, held: use });
  return values;
}

function ofCamera({ camera }: ShelfCamera, units: UnitSet): ReadonlyMap<string, ThingValue> {
  const found = numbers({ cameras: [camera] }, null, units);
  return new Map([...found, ...others(camera, found, ["cameras", 0])]);
}

/** The numbers that the table of inputs knows. */
function numbers(part: object, kind: LauncherKind | null, units: UnitSet): Map<string, ThingValue> {
  return new Map(
    foundInputs(part, kind).map(({ input, path, value, u }) => {
      const node = at(part, path) as Json;
      const assumed = u !== null && node.assumed === true ? " (assumed)" : "";
      const text = u === null ? valueText(input, value, units) : ofInput(input, { value, u }, units);
      const words = wordsAt(input, path).replace(/^the (camera's )?/, "");
      return [path.join("."), { words, text: `${text}${assumed}`, held: node }];
    }),
  );
}

/** Whatever else it holds, leaf by leaf; a list of numbers is one leaf. */
function others(
  part: object,
  known: ReadonlyMap<string, ThingValue>,
  place: Path,
): readonly (readonly [string, ThingValue])[] {
  return Object.entries(part).flatMap(([name, value]): readonly (readonly [string, ThingValue])[] => {
    const path = [...place, name];
    const key = path.join(".");
    if (value === undefined || value === null || NOT_SHOWN.has(name) || known.has(key)) return [];
    if (typeof value === "object" && !isNumbers(value)) return others(value, known, path);
    // an entry of a pair that the table knows stands there by itself
    if (Array.isArray(value) && value.every((_, i) => known.has(`${key}.${i}`))) return [];
    return [[key, { words: wordsOf(name, place), text: textOf(value), held: value }]];
  });
}

function isNumbers(value: object): boolean {
  return Array.isArray(value) && value.every((one) => typeof one === "number" || Array.isArray(one));
}

function wordsOf(name: string, place: Path): string {
  const entry = place.findLast((step) => /^\d+$/.test(String(step)));
  const of = place[0] === "launcher" && entry !== undefined ? ` of number ${Number(entry) + 1}` : "";
  const lens = place.includes("lens") && name === "by" ? "how the lens was found" : OTHER_WORDS[name];
  return `${lens ?? name}${of}`;
}

function textOf(value: unknown): string {
  if (Array.isArray(value)) {
    return value.length > 3 ? `${value.length} numbers or points` : value.join(" × ");
  }
  if (typeof value === "boolean") return value ? "yes" : "no";
  return typeof value === "string" ? value.replaceAll("-", " ") : String(value);
}

function at(node: unknown, path: Path): unknown {
  return path.reduce((inside, step) => (inside as Readonly<Record<string | number, unknown>>)[step], node);
}

function ofInput(input: Input, measured: Measured, units: UnitSet): string {
  const { symbol, factor, offset } = entryUnit(input.kind, units);
  return measuredText(measured, symbol, factor, offset);
}

function measuredText({ value, u }: Measured, symbol: string, factor: number, offset: number): string {
  const shown = showMeasured({ value: value * factor + offset, u: u * factor }, "1");
  const bare = `${shown.value} ± ${shown.u}`;
  return symbol === "" ? bare : symbol === "°" ? `${bare}°` : `${bare} ${symbol}`;
}
