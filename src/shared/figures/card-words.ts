import type { CardCaution, CardCell, CardColumn, SpeedCard } from "../next-shot/card-content.ts";
import type { LimitName } from "../next-shot/next-notices.ts";
import { plainNumber } from "../next-shot/plain-number.ts";
import { displayUnit, showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import { END_WORDS } from "./chart-of-next-shot.ts";

/** "Release speed over tank pressure" */
export function cardTitle({ kind, setting }: SpeedCard): string {
  if (kind === "motor" || setting === null) return "Release speed by motor";
  return kind === "pressure" ? "Release speed over tank pressure" : "Release speed over the draw";
}

/** Which air and wind the card is made for: on another day it says something else. */
export function cardConditions({ conditions, like, units }: SpeedCard): string {
  const { temperatureK, airPressurePa, headwindMPerS } = conditions;
  const say = (measured: Measured, unit: Unit) =>
    measured.u > 0 ? showMeasured(measured, unit, units).text : showExact(measured.value, unit, units);
  const air = `${say(temperatureK, "K")}, ${say(airPressurePa, "Pa")}`;
  return `As in ${like}: air ${air}, headwind ${say(headwindMPerS, "m/s")}.`;
}

/** "0.82 ± 0.01 kg" */
export function massSays({ massKg }: Pick<CardColumn, "massKg">, units: UnitSet): string {
  return massKg.u > 0 ? showMeasured(massKg, "kg", units).text : showExact(massKg.value, "kg", units, 4);
}

/** "0.82 kg": which mass is meant. */
export function massName({ massKg }: Pick<CardColumn, "massKg">, units: UnitSet): string {
  return showExact(massKg.value, "kg", units, 3);
}

/**
 * What stands in one cell: a speed and its interval, the limits that forbid one, or that nothing launches.
 */
export interface CellWords {
  readonly speed: string;
  /** "13.8–14.6" */
  readonly interval: string;
  readonly forbidden: string;
  /** Letters of the cautions that hold there. */
  readonly letters: string;
}

/** @param cell of a card, in words of the person's unit, which the heading of the table names */
export function cellWords({ speed, interval, broken, cautions }: CardCell, units: UnitSet): CellWords {
  const nothing = { speed: "", interval: "", forbidden: "", letters: "" };
  if (speed === null || interval === null) return { ...nothing, forbidden: "does not launch" };
  if (broken.length > 0) return { ...nothing, forbidden: limitsList(broken) };
  const u = interval.u > 0 ? interval.u : speed.u;
  const shown = (value: number) => showMeasured({ value, u }, "m/s", units).value;
  return {
    speed: shown(speed.value),
    interval: u > 0 ? `${shown(interval.low)}–${shown(interval.high)}` : "",
    forbidden: "",
    letters: cautions.map(letterOf).join(""),
  };
}

function limitsList(names: readonly LimitName[]): string {
  return names.map((name) => END_WORDS[name]).join(", ");
}

/** a, b, c, … of the cautions on the card's back. */
export function letterOf(i: number): string {
  return String.fromCharCode(97 + (i % 26));
}

/** What the table holds, and what the interval does. */
export function tableSays({ scatter, units }: SpeedCard): string {
  const { symbol } = displayUnit("m/s", units);
  const doubt =
    scatter === null
      ? "the model's uncertainty alone: no scatter from shot to shot is known yet"
      : `the model's uncertainty and a scatter of ${(100 * scatter.relative).toPrecision(2)} % from shot to shot`;
  return `In ${symbol}: predicted release speed, and between which speeds the next shot lies, nineteen times in twenty, by ${doubt}.`;
}

/** Where each limit stands, in sentences. */
export function limitsOfCard(card: SpeedCard): readonly string[] {
  const { marks, columns, setting, units, leastStallMargin, rows } = card;
  const own = marks.map(({ name, x }) => `${END_WORDS[name]} ${plainNumber(x, "Pa", units)}`);
  const ofMass = columns.flatMap((column) => {
    const ends = column.ends.filter(({ name }) => !marks.some((mark) => mark.name === name));
    if (setting === null || ends.length === 0) return [];
    const [low, high] = [rows[0]?.x ?? 0, rows.at(-1)?.x ?? 0];
    const at = (x: number) => plainNumber(x, setting.unit, units);
    const said = ends.map(({ name, from, to }) => {
      if (to >= high) return `${END_WORDS[name]} from ${at(from)}`;
      return from <= low
        ? `${END_WORDS[name]} up to ${at(to)}`
        : `${END_WORDS[name]} ${at(from)} to ${at(to)}`;
    });
    return [`${massName(column, units)}: not kept is ${said.join(", ")}.`];
  });
  const margin =
    leastStallMargin === null
      ? "No least stall margin is asked for."
      : `Least stall margin ${Number(leastStallMargin.toPrecision(3))}.`;
  return [
    ...(own.length === 0 ? [] : [`${upperFirst(own.join(", "))}.`]),
    margin,
    ...ofMass,
    "Where a limit is not kept, with twice its uncertainty and the scatter to spare, the limit stands instead of a speed.",
  ];
}

function upperFirst(text: string): string {
  return text.slice(0, 1).toUpperCase() + text.slice(1);
}

/** "a  At 2 bar, 0.82 kg. cause remedy" */
export function cautionSays({ notice, at }: CardCaution, { setting, units }: SpeedCard): string {
  const where =
    at === null
      ? ""
      : `At ${at.row.x === null || setting === null ? at.row.name : plainNumber(at.row.x, setting.unit, units)}, ${massName(at, units)}: `;
  return `${where}${notice.cause} ${notice.remedy}`.trim();
}
