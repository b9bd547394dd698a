import type { OverSetting } from "../next-shot/over-setting.ts";
import { type DisplayUnit, displayUnit, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import type { Measurement, QuantityName } from "../results/shot-result.ts";
import { BAND_K } from "./figures-of.ts";
import { type NamedPoint, type PointKind, type Points, SHAPES } from "./points.ts";

/** Results that are set against an input, and their symbols. */
export const POINTED = {
  releaseSpeed: "v",
  peakAcceleration: "a",
  pitchRateAtRelease: "ω",
} as const satisfies Partial<Record<QuantityName, string>>;
export type Pointed = keyof typeof POINTED;

/** Shots of one airframe on one launcher, with what the model says of them. */
export interface PointedKind {
  readonly label: string;
  readonly shots: readonly PointedShot[];
  /** null while it is worked out */
  readonly model: OverSetting | null;
  /** Name of the shot whose other settings the model is given. */
  readonly like: string;
  /** Other settings of the shots that differ from those, in words; empty where none does. */
  readonly unlike: string;
}

export interface PointedShot {
  readonly name: string;
  /** SI */
  readonly at: Measured;
  readonly measurement: Pick<Measurement, "quantities">;
  /** It is of another outing. */
  readonly elsewhere?: boolean;
}

export interface PointsAsk {
  readonly quantity: Pointed;
  readonly setting: { readonly field: string; readonly symbol: string; readonly unit: Unit };
  /** SI */
  readonly range: readonly [number, number];
  /** Shots that are not among the kinds, and why. */
  readonly left: readonly { readonly name: string; readonly why: string }[];
}

/**
 * A result of many shots over an input. Nothing is computed here but the change to the person's units and
 * edges of k = 2.
 */
export function pointsOfShots(kinds: readonly PointedKind[], ask: PointsAsk, units: UnitSet): Points {
  const { quantity, setting, range } = ask;
  const { words, unit } = QUANTITIES[quantity];
  const [dx, dy] = [displayUnit(setting.unit, units), displayUnit(unit, units)];
  const drawn = kinds.map((kind, i) => kindOf(kind, i, quantity, [dx, dy], units));
  const count = drawn.reduce((sum, { points }) => sum + points.length, 0);
  const shots = `${count} ${count === 1 ? "shot" : "shots"}`;
  return {
    id: `day-points-${quantity}`,
    kind: "points",
    title: `${words} of ${shots} against ${lowerFirst(setting.field)}`,
    description: drawn
      .map(
        ({ label, points }) => `${label}: ${points.map(({ name, text }) => `${name} ${text}`).join(", ")}.`,
      )
      .join(" "),
    caption: captionOf(kinds, drawn, ask),
    x: {
      quantity: setting.field,
      symbol: setting.symbol,
      unit: dx.symbol,
      from: shown(range[0], dx),
      to: shown(range[1], dx),
    },
    y: { quantity: words, symbol: POINTED[quantity], unit: dy.symbol },
    kinds: drawn,
  };
}

function kindOf(
  { label, shots, model }: PointedKind,
  i: number,
  quantity: Pointed,
  [dx, dy]: readonly [DisplayUnit, DisplayUnit],
  units: UnitSet,
): PointKind {
  const { unit } = QUANTITIES[quantity];
  const signed = quantity === "pitchRateAtRelease";
  const least = signed ? Number.NEGATIVE_INFINITY : 0; // a speed below 0 means nothing
  const points = shots.flatMap(({ name, at, measurement }): NamedPoint[] => {
    const value = measurement.quantities[quantity];
    if (value === undefined) return [];
    return [
      {
        name,
        at: [shown(at.value, dx), shown(value.value, dy)],
        halfX: BAND_K * at.u * dx.factor,
        halfY: BAND_K * value.u * dy.factor,
        text: showMeasured(value, unit, units, signed).text.trim(),
      },
    ];
  });
  return {
    label,
    shape: SHAPES[i % SHAPES.length],
    points,
    model: (model?.runs ?? []).flatMap((run) => {
      const said = run.flatMap(({ x, quantities }) => {
        const value = quantities[quantity];
        if (value === undefined) return [];
        const edge = (k: number) => shown(Math.max(least, value.value + k * BAND_K * value.u), dy);
        return [[shown(x, dx), shown(value.value, dy), edge(-1), edge(1)] as const];
      });
      return said.length < 2 ? [] : [{ points: said }];
    }),
  };
}

function captionOf(
  kinds: readonly PointedKind[],
  drawn: readonly PointKind[],
  { quantity, left }: PointsAsk,
): string {
  const k = `k\u00a0=\u00a0${BAND_K}`;
  const several = kinds.length > 1;
  const of = (label: string) => (several ? ` for ${label}` : "");
  const said = [
    `Marks: measured shots, bars of ${BAND_K} standard uncertainties both ways (${k}); a name without room is left out.`,
  ];
  if (drawn.some(({ model }) => model.length > 0)) {
    said.push(
      `Dashed: predicted, in a band of ±\u00a0${BAND_K} standard uncertainties of the model's inputs (${k}); what is set is taken as exact.`,
    );
  }
  const elsewhere = kinds.flatMap(({ shots }) => shots.filter((one) => one.elsewhere)).length;
  if (elsewhere > 0) {
    said.push(
      `${elsewhere === 1 ? "One is" : `${elsewhere} are`} of other outings and named after them: measured with what was stated there.`,
    );
  }
  kinds.forEach(({ label, model, like, unlike }, i) => {
    if (model === null) said.push(`The prediction${of(label)} is still being worked out.`);
    else if (drawn[i].model.length > 0) {
      said.push(`Predicted${of(label)} as ${like} was set otherwise.${unlike === "" ? "" : ` ${unlike}`}`);
    } else {
      const silent = `The model does not say the ${lowerFirst(QUANTITIES[quantity].words)} of this launcher.`;
      said.push(`No prediction${of(label)}: ${lowerFirst(model.whyNot ?? silent)}`);
    }
  });
  if (kinds.length > SHAPES.length) {
    said.push(`There are ${SHAPES.length} shapes of mark for ${kinds.length} kinds of shot: choose fewer.`);
  }
  const without = kinds.flatMap(({ shots }) =>
    shots.filter(({ measurement }) => measurement.quantities[quantity] === undefined),
  );
  const missing = [
    ...left,
    ...without.map(({ name }) => ({ name, why: `no ${lowerFirst(QUANTITIES[quantity].words)}` })),
  ];
  if (missing.length > 0) {
    said.push(`Not drawn: ${missing.map(({ name, why }) => `${name} (${why})`).join(", ")}.`);
  }
  return said.join(" ");
}

function shown(si: number, { factor, offset }: DisplayUnit): number {
  return si * factor + offset;
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}
