import { showMeasured } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import { ramInputWords } from "../shot/ram-words.ts";

/** What an input that may be tuned is called, and the unit it is read in: shown = SI * factor. */
export interface ParameterWords {
  readonly words: string;
  readonly symbol: string;
  readonly factor: number;
}

const UNITS: readonly (readonly [ending: RegExp, symbol: string, factor: number])[] = [
  [/conductance$|^leak$/, "dm³/(s·bar)", 1e8],
  [/^(boreM|strokeM|drawM|railM)$|Diameter|Travel/, "mm", 1e3],
  [/^tankVolumeM3$/, "L", 1e3],
  [/M3$/, "mL", 1e6],
  [/(openingS|delayS)$/, "ms", 1e3],
  [/(riseS|fallS)$/, "s", 1],
  [/Rad$/, "°", 180 / Math.PI],
  [/Kg$/, "kg", 1],
  [/ImpulseNs$/, "N·s", 1],
  [/viscousNsPerM$/, "N·s/m", 1],
  [/N$/, "N", 1],
];

const OTHER_WORDS: Readonly<Record<string, string>> = {
  drawM: "draw",
  forceScale: "line force over the table",
  lineMassKg: "mass of one line",
  carriageKg: "mass of the carriage",
  railM: "travel along the cradle",
  boosterKg: "mass of the booster",
};
const MOTOR_WORDS: Readonly<Record<string, string>> = {
  thrustScale: "thrust over the curve",
  propellantKg: "propellant",
  delayS: "ignition delay",
  "thrust.totalImpulseNs": "total impulse",
  "thrust.meanThrustN": "mean thrust",
  "thrust.riseS": "time to full thrust",
  "thrust.fallS": "time from full thrust to none",
};

/** Words and unit of an input by its path in the launcher. */
export function parameterWords(path: string): ParameterWords {
  const [, symbol, factor] = UNITS.find(([ending]) => ending.test(path)) ?? [null, "", 1];
  return { words: wordsOf(path), symbol, factor };
}

/** A value as a person reads it, with or without its unit. */
export function showParameter(
  path: string,
  { value, u }: Measured,
): { readonly bare: string; readonly text: string } {
  const { symbol, factor } = parameterWords(path);
  const shown = showMeasured({ value: value * factor, u: u * factor }, "1");
  const bare = `${shown.value} ± ${shown.u}`;
  return { bare, text: symbol === "" ? bare : symbol === "°" ? `${bare}°` : `${bare} ${symbol}` };
}

function wordsOf(path: string): string {
  const other = OTHER_WORDS[path];
  if (other !== undefined) return other;
  const motor = /^motors\.(\d+)\.(.+)$/.exec(path);
  if (motor !== null) return `motor ${Number(motor[1]) + 1}, ${MOTOR_WORDS[motor[2]!] ?? motor[2]!}`;
  return ramInputWords(path).words;
}
