import type { Measured, Unit } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import type { Comparison, Measurement, Prediction, QuantityName } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import type { Conditions, Shot } from "../session/schema.ts";

/** What of a shot's result its row and its curves take; of a shot of another outing there is no more. */
export interface DayResult {
  readonly measurement: Pick<Measurement, "quantities" | "curves" | "startClipS" | "releaseClipS"> | null;
  readonly prediction: Pick<Prediction, "quantities"> | null;
  readonly comparison: Pick<Comparison, "differences"> | null;
  readonly notices: readonly Pick<ShotNotice, "level" | "cause">[];
}

/** One shot of the day with all that its row is made of. */
export interface DayShot {
  readonly shot: Pick<Shot, "id" | "name" | "clip" | "airframeId" | "launcherId" | "conditions">;
  /** 1 for the first of the session: the number beside its picture. Below 1 for those of other outings. */
  readonly number: number;
  /** Of which other outing it is, and whether its airframe was as heavy; left out for the session's own. */
  readonly outing?: { readonly title: string; readonly asHeavy: boolean };
  readonly launch: LaunchInputs;
  /** ms since 1970, when the clip's file was last written; null when it is not in the folder. */
  readonly clipMs: number | null;
  readonly result: DayResult | null;
}

/** A condition of a shot that its cell changes. */
export type EditedCondition = Extract<
  keyof Conditions,
  "gaugePressurePa" | "temperatureK" | "airPressurePa" | "headwindMPerS"
>;

interface Common<Id extends string> {
  readonly id: Id;
  /** Heads the column. */
  readonly words: string;
  /** What the head leaves open. */
  readonly about?: string;
  /** Heads the column of a file: lower case, with the SI unit. */
  readonly file: string;
}

/** A column of measured values, each with its u. */
export interface MeasuredColumn<Id extends string = string> extends Common<Id> {
  readonly holds: "measured";
  readonly unit: Unit;
  readonly signed: boolean;
  readonly of: (one: DayShot) => Measured | null;
  /** What a person changes in its cells; null where they only read. */
  readonly edits: EditedCondition | null;
}

/** A column of words. */
export interface TextColumn<Id extends string = string> extends Common<Id> {
  readonly holds: "text";
  readonly of: (one: DayShot) => string;
  readonly edits: "name" | null;
}

/** A column of instants, ms since 1970. */
export interface TimeColumn<Id extends string = string> extends Common<Id> {
  readonly holds: "time";
  readonly of: (one: DayShot) => number | null;
  readonly edits: null;
}

export type DayColumn = MeasuredColumn | TextColumn | TimeColumn;

const text = (id: string, words: string, of: TextColumn["of"], edits: "name" | null = null): TextColumn => ({
  id,
  words,
  file: id,
  holds: "text",
  of,
  edits,
});

function condition(name: EditedCondition, id: string, words: string, file: string, unit: Unit) {
  const of = ({ shot }: DayShot) => shot.conditions[name] ?? null;
  return { id, words, file, holds: "measured", unit, signed: false, of, edits: name } as const;
}

function measured(id: string, words: string, file: string, name: QuantityName): MeasuredColumn {
  const of = ({ result }: DayShot) => result?.measurement?.quantities[name] ?? null;
  const signed = name === "pitchRateAtRelease";
  return { id, words, file, holds: "measured", unit: QUANTITIES[name].unit, signed, of, edits: null };
}

/** What a person changes in a cell: nothing in a shot of another outing. */
export function editsIn(column: DayColumn, { outing }: Pick<DayShot, "outing">): DayColumn["edits"] {
  return outing === undefined ? column.edits : null;
}

/** Every column of the day, in the order they stand. */
export const DAY_COLUMNS: readonly DayColumn[] = [
  text("name", "Shot", ({ shot }) => shot.name, "name"),
  text("outing", "Outing", ({ outing }) => outing?.title ?? ""),
  {
    id: "time",
    words: "Clip written",
    about: "when the clip's file was last written: the end of filming, unless it was changed since",
    file: "clip_written",
    holds: "time",
    of: ({ clipMs }) => clipMs,
    edits: null,
  },
  text("airframe", "Airframe", ({ launch }) => launch.airframe.name),
  text("launcher", "Launcher", ({ launch: { launcher } }) => launcher?.name ?? ""),
  condition("gaugePressurePa", "pressure", "Pressure", "gauge_pressure_pa", "Pa"),
  {
    id: "mass",
    words: "Mass",
    file: "mass_kg",
    holds: "measured",
    unit: "kg",
    signed: false,
    of: ({ launch }) => launch.airframe.massKg,
    edits: null,
  },
  condition("temperatureK", "air-temperature", "Air", "air_temperature_k", "K"),
  condition("airPressurePa", "air-pressure", "Air pressure", "air_pressure_pa", "Pa"),
  condition("headwindMPerS", "headwind", "Headwind", "headwind_m_per_s", "m/s"),
  measured("release-speed", "Release speed", "release_speed_m_per_s", "releaseSpeed"),
  {
    id: "predicted",
    words: "Predicted",
    file: "predicted_release_speed_m_per_s",
    holds: "measured",
    unit: "m/s",
    signed: false,
    of: ({ result }) => result?.prediction?.quantities.releaseSpeed ?? null,
    edits: null,
  },
  {
    id: "difference",
    words: "Predicted − measured",
    about: "positive where the model says faster at release than was measured",
    file: "release_speed_difference_m_per_s",
    holds: "measured",
    unit: "m/s",
    signed: true,
    of: ({ result }) =>
      result?.comparison?.differences.find(({ name }) => name === "releaseSpeed")?.difference ?? null,
    edits: null,
  },
  measured("peak", "Peak acceleration", "peak_acceleration_m_per_s2", "peakAcceleration"),
  measured("pitch-rate", "Pitch rate", "pitch_rate_at_release_rad_per_s", "pitchRateAtRelease"),
  measured("angle", "Angle", "launch_angle_rad", "launchAngle"),
  text("notices", "Notices", noticesText),
];

/**
 * Those that a day does not show until a person chooses: the air is rarely what tells shots of one day apart,
 * and a shot of another outing is named after it.
 */
export const HIDDEN_AT_FIRST: readonly string[] = [
  ...["outing", "mass", "air-temperature", "air-pressure", "headwind"],
];

const LEVELS = [
  ["danger", "danger", "dangers"],
  ["refusal", "refusal", "refusals"],
  ["warning", "warning", "warnings"],
] as const;

/** "1 refusal, 2 warnings": how many of each, the gravest first; plain notes are not counted. */
function noticesText({ result }: DayShot): string {
  if (result === null) return "";
  return LEVELS.flatMap(([level, one, more]) => {
    const count = result.notices.filter((notice) => notice.level === level).length;
    return count === 0 ? [] : [`${count} ${count === 1 ? one : more}`];
  }).join(", ");
}
