import { parseArgs } from "node:util";
import { studyTable } from "../tuning/study-table.ts";
import { FAMILIES } from "./families/families.ts";
import { familyTable } from "./families/family-table.ts";
import { known, type MeasuredShot, measured, RESULTS, type ResultName, refused } from "./measured.ts";
import { simulateShot } from "./simulate.ts";
import { releaseSpeedBound } from "./speed-bound.ts";
import { spoiltRows } from "./spoilt.ts";
import { mean, median, percent, rms, row } from "./table.ts";

/*
 * The truth bench as a program: simulated ram shots of drawn launchers, rates, noise and points, measured
 * from their marks. It prints what came out, beside what is asked of it; nothing is left out of a row but
 * shots that were refused, which are counted.
 */
const { values } = parseArgs({
  options: {
    shots: { type: "string", default: "300" },
    families: { type: "string", default: "100" },
    family: { type: "string" },
    tuning: { type: "string" },
  },
});
if (values.tuning !== undefined) {
  studyTable(Number(values.tuning));
  process.exit(0);
}
if (values.family !== undefined) {
  const named = FAMILIES.filter(({ name }) => name.includes(values.family as string));
  familyTable(named, Number(values.families));
  process.exit(named.length === 0 ? 1 : 0);
}
const SHOTS = Number(values.shots);

row(`${SHOTS} simulated shots`, "found", "asked");
const all = Array.from({ length: SHOTS }, (_, i) => measured(simulateShot(i + 1))).filter(
  (one): one is MeasuredShot => one !== null,
);

const ratios = all.map(
  ({ shot, results }) => (known(results.speed).value - shot.truth.speed) / releaseSpeedBound(shot),
);
row("release speed, rms error / Cramér-Rao bound", rms(ratios).toFixed(3), "≤ 1.15");
for (const rate of [240, 480, 960, 2000]) {
  const some = ratios.filter((_, i) => all[i]?.shot.rateHz === rate);
  row(`  at ${rate} frames/s (${some.length} shots)`, rms(some).toFixed(3), "");
}
const ASKED: Record<ResultName, readonly [words: string, asked: string, bias: string]> = {
  speed: ["release speed", "92 to 98 %", "< 0.2 u"],
  direction: ["launch angle", "92 to 98 %", "< 0.2 u"],
  pitchRate: ["pitch rate", "92 to 98 %", "< 0.2 u"],
  peakAcceleration: ["peak acceleration", "90 to 99 %", "< 0.2 u"],
  startS: ["time of first motion", "92 to 98 %", ""],
  pushTime: ["push time", "92 to 98 %", ""],
  meanAcceleration: ["mean push acceleration", "92 to 98 %", ""],
  stroke: ["stroke", "92 to 98 %", ""],
  releaseS: ["time of release", "", ""],
};
for (const name of RESULTS) {
  const z = all.map(({ shot, results }) => {
    const { value, u } = known(results[name]);
    return (value - shot.truth[name]) / u;
  });
  const [words, asked, bias] = ASKED[name];
  row(`${words}, truth within 2 u`, percent(z.filter((x) => Math.abs(x) <= 2).length / z.length, 1), asked);
  row(`${words}, bias`, `${mean(z).toFixed(2)} u`, bias);
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
    .map(({ shot, results }) =>
      Math.abs(known(results.peakAcceleration).value / shot.truth.peakAcceleration - 1),
    );
  row(`peak acceleration, median error, 960/s, ${noisePx} px`, percent(median(errors), 2), asked);
}

spoiltRows(SHOTS);
row("refused", String(refused.length), "0");
familyTable(FAMILIES, Number(values.families));
