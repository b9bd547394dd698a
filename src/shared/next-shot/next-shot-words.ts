import { displayUnit, showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { LimitCheck } from "./limits.ts";
import { LIMIT_K } from "./limits.ts";
import { insideSays } from "./next-shot-refusals.ts";
import type { NextShotReport } from "./next-shot-report.ts";
import { plainNumber } from "./plain-number.ts";
import type { Repeatability } from "./repeatability.ts";
import type { RepeatGroup, Scatter } from "./repeats.ts";

/**
 * The answer in one sentence: "Fill to 4.62 ± 0.08 bar for 14.5 m/s; next shot between 14.1 and
 * 14.9 m/s (95 %)." One that breaks a limit tells nobody to do it: "Outside the limits: 14.5 m/s
 * would take 4.62 ± 0.08 bar."
 * @returns null without an answer
 */
export function answerSays({ answer, ask, setting }: NextShotReport, units: UnitSet): string | null {
  if (answer === null || setting === null || ask.speedMPerS === null) return null;
  const to = showMeasured(answer.setting, setting.unit, units).text.trim();
  const speed = plainNumber(ask.speedMPerS.value, "m/s", units);
  if (!answer.insideLimits) {
    return `Outside the limits: ${speed} would take ${ask.choose === "motor" ? `motors of ${to} times the present thrust` : to}.`;
  }
  const { low, high, u, coverage } = answer.interval;
  const shown = (value: number) => showMeasured({ value, u }, "m/s", units).value;
  const symbol = displayUnit("m/s", units).symbol;
  const next =
    u === 0
      ? ""
      : `; next shot between ${shown(low)} and ${shown(high)} ${symbol} (${Math.round(100 * coverage)} %)`;
  return `${doing(ask.choose, to, answer.setting.value, setting)} for ${speed}${next}.`;
}

function doing(
  choose: string,
  to: string,
  value: number,
  { now, field }: NonNullable<NextShotReport["setting"]>,
): string {
  switch (choose) {
    case "pressure":
      return `Fill to ${to}`;
    case "mass":
      return now !== null && value < now ? `Lighten the airframe to ${to}` : `Ballast the airframe to ${to}`;
    case "stroke":
      return `Set the ${field.toLowerCase()} to ${to}`;
    case "draw":
      return `Draw the line out by ${to}`;
    default:
      return `Use motors of ${to} times the present thrust`;
  }
}

/** What the interval of the answer holds, and how sure that the next shot is as wanted. */
export function intervalSays({ answer, ask, scatter }: NextShotReport, units: UnitSet): string {
  if (answer === null) return "";
  const { k, dof, u } = answer.interval;
  const few = dof !== null && dof < FEW ? ` at ${dof.toFixed(0)} degrees of freedom` : "";
  const factor = `± ${k.toFixed(2)} standard uncertainties${few}`;
  const holds =
    scatter === null
      ? `The interval covers the model's uncertainty alone, ${factor}: no scatter from shot to shot is known yet; repeat a shot to know it.`
      : `The interval covers the model's uncertainty and ${scatterSays(scatter)}, ${factor}.`;
  const tolerance = showMeasured({ value: 0, u: ask.speedMPerS?.u ?? 0 }, "m/s", units);
  const chance =
    answer.chanceAsWanted === null
      ? ""
      : ` It is within ${tolerance.u} ${tolerance.symbol} of the wanted speed with a chance of ${percentOf(answer.chanceAsWanted)}.`;
  const byModel = answer.speed.u > MOSTLY * u && scatter !== null;
  return (
    holds +
    chance +
    (byModel ? " Most of it is the model's uncertainty: tuning on measured shots reduces it." : "")
  );
}

const FEW = 100; // from here on t is the normal's factor to a hundredth
const MOSTLY = 0.9; // of u: four fifths of the variance

/** "a scatter of 1.2 % from shot to shot (6 repeated shots)" */
function scatterSays({ relative, shots, from }: Scatter): string {
  const percent = (100 * relative).toPrecision(2);
  const whence = from === "tuning" ? `found in tuning on ${shots} shots` : `${shots} repeated shots`;
  return `a scatter of ${percent} % from shot to shot (${whence})`;
}

/** Which limits the sentence rests on: what binds, and what could not be checked. */
export function limitsSay(report: NextShotReport, units: UnitSet): string {
  const { limits } = report;
  const stated = limits.filter(({ state }) => state !== "no-limit");
  const unchecked = limits.filter(({ state }) => state === "no-value");
  if (limits.length === 0) return "";
  if (stated.length === 0) return "No limit is stated, so none can be kept.";
  const open =
    unchecked.length === 0
      ? ""
      : ` ${unchecked.map(({ words }) => words).join(" and ")} could not be checked.`;
  return `${insideSays(report, units)}${open}`;
}

/** One row of the table of limits: what, at the answer, limit, how it stands. */
export function limitRow(check: LimitCheck, units: UnitSet): readonly [string, string, string, string] {
  const { words, value, limit, unit, side, state } = check;
  return [
    words,
    value === null ? "not known" : numberSays(value, unit, units),
    limit === null
      ? "not stated"
      : `${side === "most" ? "at most" : "at least"} ${numberSays(limit, unit, units)}`,
    STATES[state],
  ];
}

const STATES: Readonly<Record<LimitCheck["state"], string>> = {
  inside: "inside",
  "in-doubt": `within ${LIMIT_K} u of it`,
  outside: "passed",
  "no-limit": "not checked",
  "no-value": "cannot be checked",
};

function numberSays(measured: Measured, unit: Unit, units: UnitSet): string {
  if (measured.u > 0) return showMeasured(measured, unit, units).text;
  return showExact(measured.value, unit, units, 4);
}

/** One row of the table of repeats. */
export interface RepeatRow {
  readonly setting: string;
  readonly n: string;
  /** mean ± its 95 % interval by scatter */
  readonly mean: string;
  readonly scatter: string;
  readonly next: string;
  readonly common: string;
  readonly measurement: string;
}

/** A group of repeats in words; null for a single shot. */
export function repeatRow({ gaugePa, shots, repeatability }: RepeatGroup, units: UnitSet): RepeatRow | null {
  if (repeatability === null) return null;
  const { n, mean, s, meanInterval, nextHalfWidth, sigmaInterval, commonU, measurementShare } = repeatability;
  const { symbol } = displayUnit("m/s", units);
  const at = (value: number, u: number) => showMeasured({ value, u }, "m/s", units);
  const width = (value: number) => at(0, value).u;
  return {
    setting: gaugePa === null ? "as it stands" : plainNumber(gaugePa, "Pa", units),
    n: [String(n), ...elsewhereOf(shots)].join(", "),
    mean: `${at(mean, s).value} ${symbol}, ${at(meanInterval[0], s).value} to ${at(meanInterval[1], s).value}`,
    scatter: `${width(s)} ${symbol}, ${width(sigmaInterval[0])} to ${width(sigmaInterval[1])}`,
    next: `± ${width(nextHalfWidth)} ${symbol}`,
    common: `± ${width(commonU)} ${symbol}`,
    measurement: percentOf(measurementShare),
  };
}

/** "2 of An afternoon", of each outing beside the session's own. */
function elsewhereOf(shots: RepeatGroup["shots"]): readonly string[] {
  const titles = shots.flatMap(({ outing }) => (outing === undefined ? [] : [outing]));
  return [...new Set(titles)].map((title) => `${titles.filter((one) => one === title).length} of ${title}`);
}

/** What the columns of the repeats mean. */
export const REPEAT_HEADINGS: Readonly<Record<keyof RepeatRow, string>> = {
  setting: "Setting",
  n: "Shots",
  mean: "Mean (95 %)",
  scatter: "Scatter s (95 %)",
  next: "Next shot (95 %)",
  common: "Common to all, u",
  measurement: "Measuring, of s²",
};

/** What one learns of the launcher from its repeats. */
export function repeatSays({ measurementShare, launcherS, mean, s }: Repeatability): string {
  if (s === 0) return "All the shots gave the same speed.";
  const relative = `${((100 * s) / mean).toPrecision(2)} %`;
  if (measurementShare >= 1) {
    return `Shots differ by ${relative}, no more than measuring them does: the launcher's own scatter does not show.`;
  }
  const own = `${((100 * launcherS) / mean).toPrecision(2)} %`;
  return `Shots differ by ${relative}; ${percentOf(measurementShare)} of the variance is measuring, and the launcher's own scatter is ${own}.`;
}

function percentOf(share: number): string {
  const percent = 100 * share;
  if (percent > 0 && percent < 1) return "under 1 %";
  if (percent < 100 && percent > 99) return "over 99 %";
  return `${percent.toFixed(0)} %`;
}
