import { type DisplayUnit, displayUnit, type UnitSet } from "../quantity/display.ts";
import type { Unit } from "../quantity/measured.ts";
import type { Curve, Measurement, MotionCurves } from "../results/shot-result.ts";
import type { XY } from "./figure.ts";
import { BAND_K } from "./figures-of.ts";
import type { Overlay, OverlayCurve, OverlayPanel } from "./overlay.ts";

/** One shot whose curve is laid over others. */
export interface OverlaidShot {
  readonly name: string;
  readonly measurement: Pick<Measurement, "curves" | "startClipS" | "releaseClipS">;
}

/** Quantities that can be laid over each other. */
export const OVERLAID = {
  speed: ["Speed", "v", "m/s"],
  acceleration: ["Acceleration", "a", "m/s²"],
  position: ["Position", "s", "m"],
  pitch: ["Pitch", "θ", "rad"],
  pitchRate: ["Pitch rate", "ω", "rad/s"],
} as const satisfies Partial<Record<keyof MotionCurves, readonly [string, string, Unit]>>;
export type Overlaid = keyof typeof OVERLAID;

/** What the curves are laid over each other by. */
export const ALIGNMENTS = ["release", "first motion", "travel"] as const;
export type Alignment = (typeof ALIGNMENTS)[number];

export interface OverlayAsk {
  readonly quantity: Overlaid;
  readonly alignment: Alignment;
  /** Index of the shot that the others are held against. */
  readonly reference: number;
  readonly differences: boolean;
  readonly arrangement: Overlay["arrangement"];
}

const MS = 1000;

/**
 * Curves of several shots over time from release, over time from first motion, or over travel until release.
 * Nothing is computed here but the change of axis and units, the edges of k = 2, and the differences to the
 * reference, read between its points along straight lines.
 * @returns null without shots
 */
export function overlayOfShots(
  shots: readonly OverlaidShot[],
  ask: OverlayAsk,
  units: UnitSet,
): Overlay | null {
  const reference = shots[ask.reference];
  if (reference === undefined) return null;
  const [quantity, symbol, unit] = OVERLAID[ask.quantity];
  const display = displayUnit(unit, units);
  const runs = shots.map(({ name, measurement }, i) => ({
    name,
    isReference: i === ask.reference,
    run: runOf(measurement, ask, units),
  }));
  const main: OverlayPanel = {
    quantity,
    symbol,
    unit: display.symbol,
    curves: runs.map(({ name, isReference, run }) => curveOf(name, isReference, run, display)),
  };
  const panels = [main];
  const held = runs.find(({ isReference }) => isReference)!.run;
  if (ask.differences && shots.length > 1 && ask.arrangement === "over") {
    panels.push({
      quantity: `Less ${reference.name}`,
      symbol: "",
      unit: display.symbol,
      curves: runs
        .filter(({ isReference }) => !isReference)
        .map(({ name, run }) => curveOf(name, false, differenceOf(run, held), { ...display, offset: 0 })),
    });
  }
  const all = runs.flatMap(({ run }) => run.x);
  const axis = axisOf(ask.alignment, units);
  return {
    id: `day-${ask.quantity}`,
    kind: "overlay",
    title: `${quantity} of ${shots.length} ${shots.length === 1 ? "shot" : "shots"} ${axis.words}`,
    description: `${shots.map(({ name }) => name).join(", ")}; ${reference.name} is the reference.`,
    caption: captionOf(ask, panels.length > 1, reference.name),
    x: {
      ...axis,
      from: all.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY),
      to: all.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY),
    },
    arrangement: ask.arrangement,
    panels,
  };
}

/** A curve on the level axis of the figure: x as it is read, values and their u in SI. */
interface Run {
  readonly x: readonly number[];
  readonly value: readonly number[];
  readonly u: readonly number[];
}

function runOf(m: OverlaidShot["measurement"], { quantity, alignment }: OverlayAsk, units: UnitSet): Run {
  const { timeS, position } = m.curves;
  const curve: Curve = m.curves[quantity];
  if (alignment !== "travel") {
    const zeroS = alignment === "release" ? 0 : m.startClipS - m.releaseClipS;
    return { x: timeS.map((t) => (t - zeroS) * MS), value: curve.value, u: curve.u };
  }
  const { factor } = displayUnit("m", units);
  // Until release, and only onwards: at rest the fitted place wavers by less than it is known to.
  let last = Number.NEGATIVE_INFINITY;
  const kept = timeS.flatMap((t, i) => {
    const at = position.value[i];
    if (t > 0 || at <= last) return [];
    last = at;
    return [i];
  });
  return {
    x: kept.map((i) => position.value[i] * factor),
    value: kept.map((i) => curve.value[i]),
    u: kept.map((i) => curve.u[i]),
  };
}

function curveOf(label: string, isReference: boolean, run: Run, display: DisplayUnit): OverlayCurve {
  const shown = (si: number) => si * display.factor + display.offset;
  const { x, value, u } = run;
  return {
    label: label.length > MOST_LABEL ? `${label.slice(0, MOST_LABEL - 1)}…` : label,
    isReference,
    points: x.map((at, i): XY => [at, shown(value[i])]),
    band: x.map((at, i) => [at, shown(value[i] - BAND_K * u[i]), shown(value[i] + BAND_K * u[i])]),
  };
}

const MOST_LABEL = 22; // characters: longer names would leave the curves no room

/** A curve less another where both are: the u are taken as independent. */
function differenceOf(one: Run, other: Run): Run {
  const at = one.x.map((x) => between(other, x));
  return {
    x: one.x,
    value: one.value.map((value, i) => value - at[i].value),
    u: one.u.map((u, i) => Math.hypot(u, at[i].u)),
  };
}

/** Value and u of a run at a place between its points; not a number outside. */
function between({ x, value, u }: Run, at: number): { readonly value: number; readonly u: number } {
  let [low, high] = [0, x.length - 1];
  if (x.length === 0 || at < x[low] || at > x[high]) return { value: Number.NaN, u: Number.NaN };
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle] <= at) low = middle;
    else high = middle;
  }
  const part = high === low ? 0 : (at - x[low]) / (x[high] - x[low]);
  const mix = (of: readonly number[]) => of[low] + part * (of[high] - of[low]);
  return { value: mix(value), u: mix(u) };
}

function axisOf(alignment: Alignment, units: UnitSet) {
  if (alignment === "travel") {
    return { quantity: "travel", symbol: "s", unit: displayUnit("m", units).symbol, words: "against travel" };
  }
  const from = `time from ${alignment}`;
  return { quantity: from, symbol: "t", unit: "ms", words: `against ${from}` };
}

function captionOf({ arrangement }: OverlayAsk, differences: boolean, reference: string): string {
  const band = `±\u00a0${BAND_K} standard uncertainties (k\u00a0=\u00a0${BAND_K})`;
  if (arrangement === "beside") {
    return `Each shot in its band of ${band}; thin behind it, ${reference}. All panels have the same axes.`;
  }
  const said = [`Heaviest line: ${reference}. Bands: ${band}.`];
  if (differences) {
    said.push(
      `Below: each shot less ${reference}, its band as if the two were independent. What both share, such as the rod or the rate, makes the difference better known than that.`,
    );
  }
  return said.join(" ");
}
