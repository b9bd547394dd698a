import { measured, RESULTS, type ResultName } from "../measured.ts";
import { releaseSpeedBound } from "../speed-bound.ts";
import { mean, rms } from "../table.ts";
import type { Family } from "./families.ts";

const SHORT: Record<ResultName, string> = {
  speed: "speed",
  direction: "angle",
  pitchRate: "pitch r.",
  peakAcceleration: "peak",
  startS: "start",
  pushTime: "push t.",
  meanAcceleration: "mean a.",
  stroke: "stroke",
  releaseS: "release",
};
const SILENT = 3; // u: an error beyond this that no notice told of

/**
 * One line for each family: of each result the share of shots whose truth lies within 2 u, and the bias in u;
 * then the rms error of the release speed over its bound, the shares refused and warned, and the share of
 * all results that are off by more than 3 u without a word: 0.3 % of them where every u is right.
 */
export function familyTable(families: readonly Family[], count: number): void {
  const head = ["", ...RESULTS.map((name) => SHORT[name]), "rms/bound", "refused", "warned", "silent"];
  print(head);
  for (const family of families) {
    const drawn = Array.from({ length: count }, (_, i) => family.draw(40_000 + i));
    const shots = drawn.map(({ shot, release, powered }) => ({
      shot,
      found: measured(shot, release, powered),
    }));
    const whole = shots.flatMap(({ shot, found }) => (found === null ? [] : [{ shot, found }]));
    const z = (name: ResultName) =>
      whole.flatMap(({ shot, found }) => {
        const result = found.results[name];
        return result === null ? [] : [(result.value - shot.truth[name]) / result.u];
      });
    const cells = RESULTS.map((name) => {
      const all = z(name);
      if (all.length === 0) return "-";
      const held = all.filter((x) => Math.abs(x) <= 2).length / all.length;
      const withheld = whole.length - all.length;
      return `${(100 * held).toFixed(0)} ${mean(all).toFixed(1)}${withheld > 0 ? `/${all.length}` : ""}`;
    });
    const errors = whole
      .map(({ shot, found }) => {
        const { speed } = found.results;
        return speed === null ? Number.NaN : (speed.value - shot.truth.speed) / releaseSpeedBound(shot);
      })
      .filter(Number.isFinite);
    const stated = whole.flatMap(({ shot, found }) =>
      RESULTS.flatMap((name) => {
        const result = found.results[name];
        if (result === null) return [];
        const off = Math.abs(result.value - shot.truth[name]) > SILENT * result.u;
        return [{ silent: off && !found.warned }];
      }),
    );
    const silent = stated.filter((one) => one.silent).length / Math.max(1, stated.length);
    const percentOf = (part: number) => `${((100 * part) / count).toFixed(0)} %`;
    print([
      family.name,
      ...cells,
      errors.length === 0 ? "-" : rms(errors).toFixed(2),
      percentOf(count - whole.length),
      percentOf(whole.filter(({ found }) => found.warned).length),
      `${(100 * silent).toFixed(1)} %`,
    ]);
  }
}

function print(cells: readonly string[]): void {
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(54) : cell.padStart(11))).join(""));
}
