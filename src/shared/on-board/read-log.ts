import { readCurveCsv } from "../curve/read-curve-csv.ts";
import type { LogSample } from "../launch/on-board/log-noise.ts";
import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { FaultError } from "../quantity/notice.ts";

/** Units a log may be in, with what each is worth in SI, and of what. */
const UNITS = {
  m: { of: "height", si: 1 },
  cm: { of: "height", si: 0.01 },
  ft: { of: "height", si: 0.3048 },
  "m/s²": { of: "acceleration", si: 1 },
  "ft/s²": { of: "acceleration", si: 0.3048 },
  g: { of: "acceleration", si: STANDARD_GRAVITY },
} as const;

export type LogUnit = keyof typeof UNITS;
export const LOG_UNITS = Object.keys(UNITS) as readonly LogUnit[];

/** Ways in which loggers write units. */
const WRITTEN: Readonly<Record<string, LogUnit>> = {
  metres: "m",
  meters: "m",
  meter: "m",
  metre: "m",
  feet: "ft",
  "m/s2": "m/s²",
  "m/s^2": "m/s²",
  "m/s/s": "m/s²",
  mps2: "m/s²",
  "ft/s2": "ft/s²",
  "ft/s^2": "ft/s²",
  gee: "g",
  gs: "g",
};

/** What a logger carried on board wrote down. */
export interface OnBoardLog {
  readonly of: "height" | "acceleration";
  /** SI, increasing in time. */
  readonly samples: readonly LogSample[];
  readonly column: string;
  readonly unit: LogUnit;
  /** Whether the file itself states it. */
  readonly unitStated: boolean;
}

/** Columns that are looked for where none is chosen, in this order. */
const COLUMNS = ["height", "altitude", "alt", "acceleration", "accel", "acc", "axial acceleration"];

/**
 * Reads a log of height or acceleration against time from CSV, as `loftmark curve` reads bench logs. The unit
 * is the one asked for, else the header's.
 * @throws FaultError "curve-…" for text that will not do; "log-unit" where no unit says what the column is
 */
export function readLog(text: string, column: string | null, unit: LogUnit | null): OnBoardLog {
  const read = column === null ? firstNamed(text) : readCurveCsv(text, { value: column });
  const stated = unitOf(read.unit);
  const taken = unit ?? stated;
  if (taken === null) {
    throw new FaultError(
      "log-unit",
      read.unit === ""
        ? `The column “${read.name}” has no unit, so it is not known whether it is height or acceleration.`
        : `The column “${read.name}” is in “${read.unit}”, which is no unit of height or acceleration.`,
      `Write one of ${LOG_UNITS.join(", ")} in its header, as in “height (m)”, or state it.`,
    );
  }
  const { of, si } = UNITS[taken];
  const samples = read.samples.map(({ time, value }) => ({ timeS: time, value: value * si }));
  // A logger that wrote two lines at one instant is taken at its last.
  const distinct = samples.filter(({ timeS }, i) => samples[i + 1]?.timeS !== timeS);
  return { of, samples: distinct, column: read.name, unit: taken, unitStated: stated !== null };
}

function firstNamed(text: string): ReturnType<typeof readCurveCsv> {
  for (const value of COLUMNS) {
    try {
      return readCurveCsv(text, { value });
    } catch (error) {
      if (!(error instanceof FaultError && error.fault.code === "curve-column")) throw error;
    }
  }
  return readCurveCsv(text);
}

function unitOf(written: string): LogUnit | null {
  const plain = written.trim().toLowerCase();
  return LOG_UNITS.find((one) => one === plain) ?? WRITTEN[plain] ?? null;
}
