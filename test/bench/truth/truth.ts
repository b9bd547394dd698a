import { parseArgs } from "node:util";
import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { motionEstimates } from "../../../src/shared/kinematics/motion-estimates.ts";
import { fitMotion } from "../../../src/shared/kinematics/motion-fit.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { type SimulatedShot, simulateShot } from "./simulate.ts";
import { releaseSpeedBound } from "./speed-bound.ts";
import { spoilMarks } from "./spoil.ts";

/*
 * The truth bench as a program: simulated ram shots of drawn launchers, rates, noise and points, measured from their marks. It prints what
 * came out, beside what is asked of it; nothing is left out of a row but shots that were refused, which are counted.
 */
const { values } = parseArgs({ options: { shots: { type: "string", default: "300" } } });
const SHOTS = Number(values.shots);

/** What is kept of a measured shot: a whole fit holds megabytes. */
interface MeasuredShot {
  readonly shot: SimulatedShot;
  readonly setAside: readonly PlaneMark[];
  readonly results: Readonly<Record<ResultName, Measured>>;
}
const RESULTS = ["speed", "direction", "pitchRate", "peakAcceleration"] as const;
type ResultName = (typeof RESULTS)[number];

const refused: string[] = [];

function measured(shot: SimulatedShot): MeasuredShot | null {
  const fit = fitMotion({ marks: shot.marks, axis: shot.axis, release: { by: "change-point" } });
  if (!fit.ok) {
    refused.push(fit.code);
    return null;
  }
  const { speed, direction, pitchRate, peakAcceleration } = motionEstimates(fit.value);
  return { shot, setAside: fit.value.setAside, results: { speed, direction, pitchRate, peakAcceleration } };
}

const rms = (x: readonly number[]) => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
const median = (x: readonly number[]) => [...x].sort((a, b) => a - b)[Math.floor(x.length / 2)] as number;
const row = (...cells: readonly string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(44) : cell.padStart(14))).join(""));

row(`${SHOTS} simulated shots`, "found", "asked");
const all = Array.from({ length: SHOTS }, (_, i) => measured(simulateShot(i + 1))).filter(
  (one) => one !== null,
);

const ratios = all.map(
  ({ shot, results }) => (results.speed.value - shot.truth.speed) / releaseSpeedBound(shot),
);
row("release speed, rms error / Cramér-Rao bound", rms(ratios).toFixed(3), "≤ 1.15");
for (const rate of [240, 480, 960, 2000]) {
  const some = ratios.filter((_, i) => all[i]?.shot.rateHz === rate);
  row(`  at ${rate} frames/s (${some.length} shots)`, rms(some).toFixed(3), "");
}
const ASKED: Record<ResultName, readonly [string, string]> = {
  speed: ["release speed", "92 to 98 %"],
  direction: ["launch angle", "92 to 98 %"],
  pitchRate: ["pitch rate", "92 to 98 %"],
  peakAcceleration: ["peak acceleration", "90 to 99 %"],
};
for (const name of RESULTS) {
  const z = all.map(({ shot, results }) => (results[name].value - shot.truth[name]) / results[name].u);
  const [words, asked] = ASKED[name];
  row(
    `${words}, truth within 2 u`,
    `${((100 * z.filter((x) => Math.abs(x) <= 2).length) / z.length).toFixed(1)} %`,
    asked,
  );
  row(`${words}, bias`, `${mean(z).toFixed(2)} u`, "< 0.2 u");
}
for (const [noisePx, asked] of [
  [0.2, "≤ 2 %"],
  [0.5, "≤ 5 %"],
] as const) {
  const some = Array.from({ length: Math.round(SHOTS / 5) }, (_, i) =>
    measured(simulateShot(5000 + i, { rateHz: 960, noisePx })),
  );
  const errors = some
    .filter((one) => one !== null)
    .map(({ shot, results }) => Math.abs(results.peakAcceleration.value / shot.truth.peakAcceleration - 1));
  row(
    `peak acceleration, median error, 960/s, ${noisePx} px`,
    `${(100 * median(errors)).toFixed(2)} %`,
    asked,
  );
}

const clean: number[] = [];
const missing: number[] = [];
const spoilt: number[] = [];
let [named, misclicks] = [0, 0];
for (let i = 0; i < SHOTS; i++) {
  const shot = simulateShot(9000 + i);
  const { marks, kept, bad } = spoilMarks(shot, 77 + i);
  const [before, fewer, after] = [shot.marks, kept, marks].map((some) => measured({ ...shot, marks: some }));
  if (!before || !fewer || !after) continue;
  const bound = releaseSpeedBound(shot);
  const error = (one: MeasuredShot) => (one.results.speed.value - shot.truth.speed) / bound;
  clean.push(error(before));
  missing.push(error(fewer));
  spoilt.push(error(after));
  misclicks += bad.length;
  named += bad.filter((mark) => after.setAside.includes(mark)).length;
}
row(`30 % of marks missing, then 5 % misclicked by 20 px (${clean.length} shots)`, "", "");
row("  rms error of release speed, missing / all", (rms(missing) / rms(clean)).toFixed(3), "");
row("  missing and misclicked / all", (rms(spoilt) / rms(clean)).toFixed(3), "< 1.2");
row("  what counting marks predicts for it", Math.sqrt(1 / (0.7 * 0.95)).toFixed(3), "");
row("  missing and misclicked / missing", (rms(spoilt) / rms(missing)).toFixed(3), "");
row("  misclicks named", `${((100 * named) / misclicks).toFixed(1)} %`, "≥ 95 %");
row("refused", String(refused.length), "0");
