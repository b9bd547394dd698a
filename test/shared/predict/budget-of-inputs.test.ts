import { describe, expect, it } from "vitest";
import { foundInputs } from "../../../src/shared/inputs/found-inputs.ts";
import type { LauncherKind } from "../../../src/shared/inputs/input.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { QuantityName } from "../../../src/shared/results/shot-result.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { fullSession } from "../../stress/full-sessions.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

/*
 * The uncertainty of every predicted quantity from every input, one input at a time: with no other input
 * uncertain, it must be half of what the quantity changes by when that input is typed one u higher and one u
 * lower. The predictions that it is held against know no uncertainty at all.
 */
const KINDS = ["compressed-air-ram", "rocket-boost", "elastic-line"] as const;
/** Only of the first shot, and only what a prediction rests on. */
const OF_PREDICTION = /^(airframe|launcher|shots\.0\.conditions)\./;
/** Counts and what decides in steps: their change between two inputs is not a slope. */
const STEPPED: readonly QuantityName[] = ["shotsPerFill"];
// of an input's own value: what a model bends between both ends is some of its square, 1e-4
const SHARE = 0.01;
const BENT = 2e-3;
type Path = readonly (string | number)[];

function at(node: unknown, path: Path): unknown {
  return path.reduce<unknown>((inside, key) => (inside as Record<string | number, unknown>)[key], node);
}
function withValue(node: unknown, [key, ...rest]: Path, value: unknown): unknown {
  if (key === undefined) return value;
  const inside = withValue((node as Record<string | number, unknown>)[key], rest, value);
  return Array.isArray(node) ? node.with(Number(key), inside) : { ...(node as object), [key]: inside };
}
/** @param document with one airframe and launcher, as the table of inputs has them */
function quantitiesOf(document: Session) {
  const session = oneOfEach(document);
  const { prediction, notices } = predictShot(session, session.shots[0]!);
  if (prediction === null) throw new Error(JSON.stringify(notices[0]));
  return prediction.quantities;
}

function certain(kind: LauncherKind): { readonly session: Session; readonly paths: readonly Path[] } {
  const { tunings: _tuned, ...stated } = fullSession(kind);
  const full = { ...stated, ...firstOf(stated) };
  const paths = foundInputs(full, kind)
    .filter(
      ({ path, input, u }) => input.form === "measured" && u !== null && OF_PREDICTION.test(path.join(".")),
    )
    .map(({ path }) => path);
  const session = paths.reduce<unknown>((now, path) => withValue(now, [...path, "u"], 0), full) as Session;
  return { session, paths };
}

describe.each(KINDS)("a prediction of a %s", (kind) => {
  const { session, paths } = certain(kind);
  const plain = quantitiesOf(session);
  const names = (Object.keys(plain) as QuantityName[]).filter((name) => !STEPPED.includes(name));

  it("has no uncertainty where no input has one", () => {
    expect(names.length).toBeGreaterThan(8);
    expect(names.filter((name) => plain[name]!.u !== 0)).toEqual([]);
  });

  it.each(paths.map((path) => [path.join("."), path] as const))(
    "has of %s what typing it higher and lower gives",
    (_, path) => {
      const { value } = at(session, path) as { value: number };
      const u = SHARE * (Math.abs(value) || 0.05);
      const typed = (shift: number, own: number) =>
        quantitiesOf(withValue(session, path, { value: value + shift, u: own }) as Session);
      const [stated, low, high] = [typed(0, u), typed(-u, 0), typed(u, 0)];
      for (const name of names) {
        const half = Math.abs(high[name]!.value - low[name]!.value) / 2;
        const tolerance = BENT * half + 1e-6 * Math.abs(plain[name]!.value);
        expect(
          Math.abs(stated[name]!.u - half),
          `${name}: ${stated[name]!.u}, typed ${half}`,
        ).toBeLessThanOrEqual(tolerance);
      }
    },
  );
});
