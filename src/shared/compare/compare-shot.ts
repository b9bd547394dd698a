import { showMeasured } from "../quantity/display.ts";
import { lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Comparison, Measurement, Prediction, QuantityName } from "../results/shot-result.ts";
import { type Alignment, align } from "./align.ts";
import { interpolate } from "./interpolate.ts";

/**
 * What both footage and model say something independent about. Left out: release times stand on two clocks,
 * and stall speed and margin come from one wing, mass and air on both sides.
 */
const COMPARED: readonly QuantityName[] = [
  "releaseSpeed",
  "peakAcceleration",
  "pitchRateAtRelease",
  "launchAngle",
  "meanPushAcceleration",
  "pushTime",
  "stroke",
  "loadFactor",
];

const APART_U = 2; // a difference beyond twice its standard uncertainty is called one
const VAGUE = 0.1; // with a relative u above this, agreement says little

type Difference = Comparison["differences"][number];

/**
 * Holds what was measured against what was predicted. Their uncertainties are taken as independent:
 * difference d = P − M, u² = u_P² + u_M²; relative P/M − 1, u² = (u_P/M)² + (P u_M/M²)². Quantities that only
 * one side has, that neither states an uncertainty for, or that were measured as exactly 0, are left out.
 * Residuals are P − M at the measured times which the aligned model covers, the model interpolated linearly.
 */
export function compareShot(
  measurement: Measurement,
  prediction: Prediction,
  options: { readonly align?: Alignment } = {},
): Comparison {
  const { curves } = measurement;
  const model = prediction.curves;
  const { shiftS, how } = align(options.align ?? "release", curves, model);
  const [from, to] = [model.timeS[0], lastOf(model.timeS)];
  const both = curves.timeS.flatMap((t, i) => (t + shiftS >= from && t + shiftS <= to ? [i] : []));
  const residual = (predicted: readonly number[], measured: readonly number[]) =>
    both.map((i) => interpolate(model.timeS, predicted, curves.timeS[i] + shiftS) - measured[i]);
  const differences = COMPARED.flatMap((name) => differenceOf(name, measurement, prediction));
  return {
    differences,
    residuals: {
      timeS: both.map((i) => curves.timeS[i]),
      position: residual(model.position, curves.position.value),
      speed: residual(model.speed, curves.speed.value),
      acceleration: residual(model.acceleration, curves.acceleration.value),
      ...(model.pitch && { pitch: residual(model.pitch, curves.pitch.value) }),
      ...(model.pitchRate && { pitchRate: residual(model.pitchRate, curves.pitchRate.value) }),
    },
    // Model time 0 is the valve starting to open, where its curves begin.
    alignment: { offsetS: measurement.releaseClipS + from - shiftS, how },
    verdict: [
      verdictOf(differences.find(({ name }) => name === "releaseSpeed")),
      ...contactSays(
        differences.find(({ name }) => name === "stroke"),
        measurement,
        prediction,
      ),
    ].join(" "),
    reading: null,
  };
}

function differenceOf(name: QuantityName, measurement: Measurement, prediction: Prediction): Difference[] {
  const m = measurement.quantities[name];
  const p = prediction.quantities[name];
  if (!m || !p) return [];
  const difference: Measured = { value: p.value - m.value, u: Math.hypot(p.u, m.u) };
  if (difference.u === 0 || m.value === 0) return [];
  return [{ name, difference, relative: relativeOf(p, m), inU: difference.value / difference.u }];
}

function relativeOf(p: Measured, m: Measured): Measured {
  return {
    value: p.value / m.value - 1,
    u: Math.hypot(p.u / m.value, (p.value * m.u) / m.value ** 2),
  };
}

/** Whether the airframe was pushed less far than the model has it pushed, or farther. */
function contactSays(
  stroke: Difference | undefined,
  measurement: Measurement,
  prediction: Prediction,
): readonly string[] {
  if (stroke === undefined || Math.abs(stroke.inU) <= APART_U) return [];
  const told = ({ quantities }: Pick<Prediction, "quantities">) => showMeasured(quantities.stroke!, "m").text;
  const ends = `The push ended after ${told(measurement)} of travel, the model's after ${told(prediction)}`;
  return [
    stroke.inU > 0
      ? `${ends}: contact was lost early.`
      : `${ends}: contact lasted longer, as with a latch that holds the airframe.`,
  ];
}

function verdictOf(speed: Difference | undefined): string {
  if (!speed) return "Footage and model cannot be compared: one of them gives no release speed.";
  const { relative, inU } = speed;
  const percent = { value: relative.value * 100, u: relative.u * 100 };
  const size = showMeasured({ value: Math.abs(percent.value), u: percent.u }, "1").text;
  const off = `The model is ${size} % ${percent.value > 0 ? "fast" : "slow"}`;
  if (Math.abs(inU) > APART_U) return `${off}.`;
  if (relative.u <= VAGUE && Math.abs(inU) > 1) return `${off}, no more than the uncertainties allow.`;
  const shown = showMeasured(percent, "1").text;
  return relative.u > VAGUE
    ? `The uncertainty is too wide to tell: ${shown} % difference in release speed.`
    : `The model agrees with the footage: ${shown} % difference in release speed.`;
}
