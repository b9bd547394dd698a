import { type DisplayUnit, displayUnit, showMeasured, type UnitSet } from "../quantity/display.ts";
import { entryOf, lastOf } from "../quantity/known-element.ts";
import type { Quantity, Unit } from "../quantity/measured.ts";
import type { Curve, Measurement, PredictionCurves, ShotResult } from "../results/shot-result.ts";
import type { Band, Callout, Figure, FigureKind, Line, Panel, Wash, XY } from "./figure.ts";

/**
 * Width of the uncertainty bands in standard uncertainties: about 95 % for a normal
 * distribution (JCGM 100:2008, G.6).
 */
export const BAND_K = 2;

const MS = 1000;
/** A prediction may run this far past the measured time span, as a part of it, before it is cut. */
const OVERHANG = 0.05;

/** Rounding to the place of an uncertainty may overflow above this. */
const WORDABLE = 1e300;

interface Plan {
  readonly kind: FigureKind;
  readonly quantity: string;
  readonly symbol: string;
  readonly unit: Unit;
  readonly measured: (m: Measurement) => Curve;
  readonly predicted: (p: PredictionCurves) => readonly number[] | undefined;
  /** Which residuals stand below. */
  readonly residual: Exclude<keyof NonNullable<ShotResult["comparison"]>["residuals"], "timeS" | "u">;
  readonly dots: ((m: Measurement) => readonly XY[]) | null;
  /** The quantity shown on the curve, and the time it stands at. */
  readonly callout:
    | ((m: Measurement) => { readonly quantity: Quantity; readonly timeS: number } | null)
    | null;
}

const PLANS: readonly Plan[] = [
  {
    kind: "position",
    quantity: "Position",
    symbol: "s",
    unit: "m",
    measured: (m) => m.curves.position,
    predicted: (p) => p.position,
    residual: "position",
    dots: (m) => m.poses.map((pose) => [pose.timeS, pose.positionM]),
    callout: (m) => atRelease(m.quantities.stroke),
  },
  {
    kind: "speed",
    quantity: "Speed",
    symbol: "v",
    unit: "m/s",
    measured: (m) => m.curves.speed,
    predicted: (p) => p.speed,
    residual: "speed",
    dots: null,
    callout: (m) => atRelease(m.quantities.releaseSpeed),
  },
  {
    kind: "acceleration",
    quantity: "Acceleration",
    symbol: "a",
    unit: "m/s²",
    measured: (m) => m.curves.acceleration,
    predicted: (p) => p.acceleration,
    residual: "acceleration",
    dots: null,
    callout: (m) => atPeak(m),
  },
  {
    kind: "pitch",
    quantity: "Pitch",
    symbol: "θ",
    unit: "rad",
    measured: (m) => m.curves.pitch,
    predicted: (p) => p.pitch,
    residual: "pitch",
    dots: (m) =>
      m.poses.flatMap((pose) => (pose.pitchRad === null ? [] : [[pose.timeS, pose.pitchRad] as const])),
    callout: (m) => atRelease(m.quantities.pitchAtRelease),
  },
  {
    kind: "pitch-rate",
    quantity: "Pitch rate",
    symbol: "ω",
    unit: "rad/s",
    measured: (m) => m.curves.pitchRate,
    predicted: (p) => p.pitchRate,
    residual: "pitchRate",
    dots: null,
    callout: (m) => atRelease(m.quantities.pitchRateAtRelease),
  },
];

/**
 * The figures of one shot: position, speed, acceleration, pitch and pitch rate against time from release.
 * Nothing is computed here but the change to the person's units and the edges value ± k u of a band, k = 2.
 * @param result of one shot  @param units what the person reads  @param name of the shot, for the titles
 * @returns five figures in that order; none when nothing was measured
 */
export function figuresOf(result: ShotResult, units: UnitSet, name: string): readonly Figure[] {
  const { measurement } = result;
  if (measurement === null || measurement.curves.timeS.length === 0) return [];
  return PLANS.map((plan) => ({
    ...figureOf(plan, result, measurement, units),
    title: `${plan.quantity} of ${name} against time from release`,
  }));
}

function figureOf(
  plan: Plan,
  result: ShotResult,
  measurement: Measurement,
  units: UnitSet,
): Omit<Figure, "title"> {
  const display = displayUnit(plan.unit, units);
  const { timeS } = measurement.curves;
  const curve = plan.measured(measurement);
  const spanS = lastOf(timeS) - timeS[0];
  const [fromS, toS] = [timeS[0] - OVERHANG * spanS, lastOf(timeS) + OVERHANG * spanS];
  const lines: Line[] = [
    { role: "measured", label: "measured", points: pointsOf(timeS, curve.value, display) },
  ];
  const model = result.prediction?.curves;
  const predicted = model && plan.predicted(model);
  if (model && predicted) {
    const points = pointsOf(model.timeS, predicted, display);
    const seen = points.filter(([t]) => t >= fromS * MS && t <= toS * MS);
    if (seen.length > 0) lines.push({ role: "predicted", label: "predicted", points: seen });
  }
  const hasPrediction = lines.length > 1;
  const dots = (plan.dots?.(measurement) ?? []).map(([t, y]): XY => [t * MS, shown(y, display)]);
  const main: Panel = {
    quantity: plan.quantity,
    symbol: plan.symbol,
    unit: display.symbol,
    lines,
    bands: [bandOf(timeS, curve.value, curve.u, display)],
    dots: dots.filter((dot) => dot.every(Number.isFinite)),
    callouts: calloutsOf(plan, measurement, units, display),
  };
  const residual = hasPrediction ? residualOf(plan, result, measurement, display) : null;
  const both = Object.hasOwn(result.comparison?.residuals.u ?? {}, plan.residual);
  const below = residual === null ? null : both ? "both" : "measured";
  const times = lines.flatMap((line) => line.points.map(([t]) => t)).filter(Number.isFinite);
  const [from, to] = [times.reduce(smaller, timeS[0] * MS), times.reduce(larger, lastOf(timeS) * MS)];
  const uMs = (measurement.quantities.releaseTime?.u ?? 0) * MS;
  return {
    id: `${result.shotId}-${plan.kind}`,
    kind: plan.kind,
    description: describe(plan, main, residual !== null),
    caption: captionOf(main, below, measurement, units),
    time: { unit: "ms", from, to },
    main,
    residual,
    washes: washesOf((measurement.startClipS - measurement.releaseClipS) * MS, from, to),
    release: { u: uMs },
  };
}

function calloutsOf(plan: Plan, m: Measurement, units: UnitSet, display: DisplayUnit): readonly Callout[] {
  const found = plan.callout?.(m) ?? null;
  if (found === null) return [];
  const { quantity, timeS } = found;
  const at: XY = [timeS * MS, shown(quantity.value, display)];
  if (![...at, quantity.u * display.factor].every((x) => Math.abs(x) < WORDABLE) || quantity.u < 0) return [];
  return [{ at, text: showMeasured(quantity, quantity.unit, units).text }];
}

function atRelease(quantity: Quantity | undefined) {
  return quantity === undefined ? null : { quantity, timeS: 0 };
}

/** The peak stands where the curve is nearest to it within the push. */
function atPeak(m: Measurement) {
  const quantity = m.quantities.peakAcceleration;
  if (quantity === undefined) return null;
  const { timeS, acceleration } = m.curves;
  let best: number | null = null;
  let nearest = Number.POSITIVE_INFINITY;
  timeS.forEach((t, i) => {
    const distance = Math.abs(acceleration.value[i] - quantity.value);
    if (t <= 0 && distance < nearest) [best, nearest] = [t, distance];
  });
  return best === null ? null : { quantity, timeS: best };
}

/**
 * Residuals over a band of what measurement and model together could not tell, or the measurement alone where
 * the model's u is not known.
 */
function residualOf(plan: Plan, result: ShotResult, m: Measurement, display: DisplayUnit): Panel | null {
  const residuals = result.comparison?.residuals;
  const values = residuals?.[plan.residual];
  if (residuals === undefined || values === undefined || residuals.timeS.length === 0) return null;
  const name = plan.residual;
  const combined = name === "pitch" || name === "pitchRate" ? undefined : residuals.u?.[name].combined;
  const uAt = combined
    ? new Map(residuals.timeS.map((t, i) => [t, combined[i]]))
    : new Map(m.curves.timeS.map((t, i) => [t, plan.measured(m).u[i]]));
  const known = residuals.timeS.filter((t) => uAt.has(t));
  const difference = { ...display, offset: 0 };
  return {
    quantity: "predicted − measured",
    symbol: "",
    unit: display.symbol,
    lines: [{ role: "difference", label: "", points: pointsOf(residuals.timeS, values, difference) }],
    bands: [
      bandOf(
        known,
        known.map(() => 0),
        known.map((t) => entryOf(uAt, t)),
        difference,
      ),
    ],
    dots: [],
    callouts: [],
  };
}

function washesOf(startMs: number, from: number, to: number): readonly Wash[] {
  const washes: readonly Wash[] = [
    { kind: "push", label: "push", from: Math.max(startMs, from), to: Math.min(0, to) },
    { kind: "free-flight", label: "free flight", from: Math.max(0, from), to },
  ];
  return washes.filter((wash) => wash.to > wash.from);
}

/** @param below whose uncertainty the band under the residuals holds; null without residuals */
function captionOf(main: Panel, below: "both" | "measured" | null, m: Measurement, units: UnitSet): string {
  const said = [
    `Solid: measured, in a band of ±\u00a0${BAND_K}\u00a0standard uncertainties (k\u00a0=\u00a0${BAND_K}).`,
  ];
  if (main.dots.length > 0) said.push("Dots: the pose in one frame, before the fit.");
  if (main.lines.some((line) => line.role === "predicted")) {
    said.push("Dashed: predicted; its u is stated of the results, not along the curve.");
  }
  if (below === "both") {
    said.push(
      `Below: predicted − measured, over a band about zero of ±\u00a0${BAND_K} standard uncertainties of the difference, of the model's inputs too.`,
    );
  } else if (below === "measured") {
    said.push(
      "Below: predicted − measured, over the same band about zero, what the measurement cannot tell.",
    );
  }
  if (main.callouts.length > 0)
    said.push("Values on the curve: with standard uncertainty (k\u00a0=\u00a01).");
  const release = m.quantities.releaseTime;
  if (release !== undefined && Number.isFinite(release.u) && release.u > 0) {
    said.push(
      `Release is known to ±\u00a0${showMeasured({ value: 0, u: release.u * MS }, "1", units).u}\u00a0ms.`,
    );
  }
  return said.join(" ");
}

function describe(plan: Plan, main: Panel, hasResidual: boolean): string {
  const curves = main.lines.map((line) => line.label).join(" and ");
  const unit = main.unit === "" ? "" : ` in ${main.unit}`;
  const callout = main.callouts[0];
  return [
    `${plan.quantity}${unit} against time in milliseconds from release: ${curves}.`,
    callout === undefined ? "" : `Marked on the curve: ${callout.text}.`,
    hasResidual ? "A second panel shows predicted minus measured." : "",
  ]
    .filter((sentence) => sentence !== "")
    .join(" ");
}

function pointsOf(timeS: readonly number[], values: readonly number[], display: DisplayUnit): readonly XY[] {
  return timeS.map((t, i) => [t * MS, shown(values[i], display)]);
}

function bandOf(
  timeS: readonly number[],
  value: readonly number[],
  u: readonly number[],
  d: DisplayUnit,
): Band {
  return {
    points: timeS.map((t, i) => [
      t * MS,
      shown(value[i] - BAND_K * u[i], d),
      shown(value[i] + BAND_K * u[i], d),
    ]),
  };
}

function shown(si: number, display: DisplayUnit): number {
  return si * display.factor + display.offset;
}

function smaller(a: number, b: number): number {
  return Math.min(a, b);
}

function larger(a: number, b: number): number {
  return Math.max(a, b);
}
