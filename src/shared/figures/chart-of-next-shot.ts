import type { LimitName } from "../next-shot/next-notices.ts";
import type { NextShotReport } from "../next-shot/next-shot-report.ts";
import { plainNumber } from "../next-shot/plain-number.ts";
import { type DisplayUnit, displayUnit, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Chart, ForbiddenEnd, Level, MeasuredPoint } from "./chart.ts";
import { BAND_K } from "./figures-of.ts";

/** What a limit is called on a chart. */
export const END_WORDS: Readonly<Record<LimitName, string>> = {
  rating: "tank's rating",
  relief: "relief valve",
  load: "load limit",
  "end-stop": "end stop",
  base: "base",
  stretch: "line's stretch",
  anchor: "anchor",
  "carriage-stop": "carriage's stop",
  stall: "stall margin",
};

/**
 * Release speed over the setting: the model in its band, the measured shots, the speed wanted, the least one
 * for the stall margin, and the ends that limits forbid. Nothing is computed here but the change to the
 * person's units and edges of k = 2.
 * @returns null when the launcher launches at no setting
 */
export function chartOfNextShot(report: NextShotReport, units: UnitSet): Chart | null {
  const { setting, curve, ask, answer } = report;
  const all = curve.flat();
  if (setting === null || all.length === 0) return null;
  const [dx, dy] = [displayUnit(setting.unit, units), displayUnit("m/s", units)];
  const x = (si: number) => si * dx.factor + dx.offset;
  const y = (si: number) => si * dy.factor + dy.offset;
  const shots = measuredPoints(report, dx, dy);
  const levels: Level[] = [];
  const [lowest, highest] = shownRange(report);
  const [from, to] = [x(lowest), x(highest)];
  const isShown = (at: number) => at >= lowest && at <= highest;
  const wanted = ask.speedMPerS;
  if (wanted !== null) {
    levels.push({
      kind: "wanted",
      label: "wanted",
      points: [
        [from, y(wanted.value)],
        [to, y(wanted.value)],
      ],
      half: wanted.u * dy.factor,
    });
  }
  if (report.stall.length > 0) {
    levels.push({
      kind: "stall",
      label: `${Number((ask.leastStallMargin ?? 0).toPrecision(3))} × stall`,
      points: report.stall.filter((one) => isShown(one.x)).map((one) => [x(one.x), y(one.speed)]),
      half: 0,
    });
  }
  const ends = report.ends
    .filter(({ name }) => name !== "stall") // the stall is a speed, and has its line
    .filter((end) => end.to > lowest && end.from < highest)
    .map(
      ({ name, from: a, to: b }): ForbiddenEnd => ({
        label: END_WORDS[name],
        from: x(Math.max(a, lowest)),
        to: x(Math.min(b, highest)),
      }),
    );
  const text = answer === null ? "" : showMeasured(answer.setting, setting.unit, units).text.trim();
  const chart = {
    id: "next-shot",
    kind: "chart" as const,
    x: { quantity: setting.field, symbol: setting.symbol, unit: dx.symbol, from, to },
    y: { quantity: "Release speed", symbol: "v", unit: dy.symbol },
    model: curve.map((run) => ({
      points: run
        .filter((one) => isShown(one.x))
        .map(
          ({ x: at, speed, u }) =>
            [x(at), y(speed), y(Math.max(0, speed - BAND_K * u)), y(speed + BAND_K * u)] as const,
        ),
    })),
    shots,
    levels,
    ends,
    answer: answer === null ? null : { at: [x(answer.setting.value), y(wanted!.value)] as const, text },
  };
  return {
    ...chart,
    title: `Release speed over ${lowerFirst(setting.field)}`,
    description: describe(report, shots.length, text, units),
    caption: captionOf(chart),
  };
}

const ASIDE = 0.45; // how far past what there is to see, as a part of it

/**
 * The part of the range worth drawing: what is set now, the answer, measured shots, and the slowest and
 * fastest inside all limits, with room on both sides; the whole range where there is nothing of the kind.
 */
function shownRange({ ask, setting, answer, groups, inside }: NextShotReport): readonly [number, number] {
  const { low, high, now } = setting!;
  const pressures = ask.choose === "pressure" ? groups.flatMap(({ gaugePa }) => gaugePa ?? []) : [];
  const bounded = [inside?.slowest, inside?.fastest].flatMap((one) =>
    one !== undefined && one.bound.length > 0 ? [one.x] : [],
  );
  const places = [now, answer?.setting.value, ...pressures, ...bounded].filter((one) => one != null);
  if (places.length === 0) return [low, high];
  return [
    Math.max(low, Math.min(...places) * (1 - ASIDE)),
    Math.min(high, Math.max(...places) * (1 + ASIDE)),
  ];
}

/**
 * All measured shots over pressure; over anything else those at the shot's own pressure, where they all
 * stand at the present setting.
 */
function measuredPoints(report: NextShotReport, dx: DisplayUnit, dy: DisplayUnit): readonly MeasuredPoint[] {
  const { ask, setting, groups, shotId } = report;
  const overPressure = ask.choose === "pressure";
  const own = groups.filter(
    ({ gaugePa, shots }) => gaugePa === null || shots.some((shot) => shot.shotId === shotId),
  );
  return (overPressure ? groups : own).flatMap(({ shots }) =>
    shots.flatMap(({ gaugePa, speed }): MeasuredPoint[] => {
      const at = overPressure ? gaugePa : setting!.now === null ? null : { value: setting!.now, u: 0 };
      if (at === null) return [];
      return [
        {
          at: [at.value * dx.factor + dx.offset, speed.value * dy.factor + dy.offset],
          halfX: BAND_K * at.u * dx.factor,
          halfY: BAND_K * speed.u * dy.factor,
        },
      ];
    }),
  );
}

function describe(report: NextShotReport, shots: number, text: string, units: UnitSet): string {
  const { setting, reach, ask } = report;
  const speed = (value: number) => plainNumber(value, "m/s", units);
  return [
    `The model's release speed goes from ${speed(reach!.slowest.speed)} to ${speed(reach!.fastest.speed)} between ${plainNumber(setting!.low, setting!.unit, units)} and ${plainNumber(setting!.high, setting!.unit, units)}.`,
    shots === 0 ? "" : `${shots === 1 ? "One measured shot is" : `${shots} measured shots are`} drawn.`,
    text === "" ? "" : `${speed(ask.speedMPerS!.value)} is reached at ${text}.`,
  ]
    .filter((sentence) => sentence !== "")
    .join(" ");
}

function captionOf({ shots, levels, ends }: Pick<Chart, "shots" | "levels" | "ends">): string {
  const said = [
    `Dashed: predicted, in a band of ±\u00a0${BAND_K}\u00a0standard uncertainties of the model's inputs (k\u00a0=\u00a0${BAND_K}).`,
  ];
  if (shots.length > 0) said.push(`Rings: measured shots, bars of k\u00a0=\u00a0${BAND_K}.`);
  if (levels.some(({ kind, half }) => kind === "wanted" && half > 0)) {
    said.push("About the wanted speed: what is still as wanted.");
  }
  if (ends.length > 0) {
    said.push("Shaded: not inside the limit named, with twice its uncertainty and the scatter to spare.");
  }
  return said.join(" ");
}

function lowerFirst(text: string): string {
  return text.slice(0, 1).toLowerCase() + text.slice(1);
}
