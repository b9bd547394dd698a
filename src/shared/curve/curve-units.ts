/** What a column's header says: "Force [N]" is a name and a unit. */
export interface ColumnHead {
  readonly name: string;
  /** As written; empty for none. */
  readonly unit: string;
}

/** Splits a header into name and unit: "time (s)", "angle [deg]", "pressure / bar", "force_N". */
export function columnHead(text: string): ColumnHead {
  const trimmed = text.trim();
  const bracketed = /^(.*?)\s*[([]\s*([^()[\]]*?)\s*[)\]]$/.exec(trimmed);
  if (bracketed) return { name: (bracketed[1] as string).trim(), unit: bracketed[2] as string };
  const divided = /^(.*\S)\s+\/\s+(\S+)$/.exec(trimmed);
  if (divided) return { name: divided[1] as string, unit: divided[2] as string };
  const joined = /^([\p{L}\d_ ]+)_([\p{L}°%µ]{1,5})$/u.exec(trimmed);
  if (joined && JOINED_UNITS.has(joined[2] as string))
    return { name: joined[1] as string, unit: joined[2] as string };
  return { name: trimmed, unit: "" };
}

/** Units that may follow a name after an underscore, where a longer word would be part of the name. */
const JOINED_UNITS = new Set(
  "s ms us µs min h m mm cm km g kg N kN Pa kPa MPa bar psi deg rad K C V mV A mA".split(" "),
);

/** s in a unit of time; null for a unit that is none. */
export function secondsIn(unit: string): number | null {
  return SECONDS.get(unit.toLowerCase()) ?? null;
}

const SECONDS = new Map<string, number>([
  ["", 1],
  ["s", 1],
  ["sec", 1],
  ["second", 1],
  ["seconds", 1],
  ["ms", 1e-3],
  ["us", 1e-6],
  ["µs", 1e-6],
  ["μs", 1e-6],
  ["ns", 1e-9],
  ["min", 60],
  ["h", 3600],
]);

/** The unit of a rate (order 1) or of its rate (order 2) per second: N, N/s, N/s²; of m/s: m/s², m/s³. */
export function perSecond(unit: string, order: 1 | 2): string {
  if (unit === "" || unit === "1") return order === 1 ? "1/s" : "1/s²";
  const divided = /^(.+)\/s([²³]?)$/.exec(unit);
  if (divided === null) return `${unit}/s${["", "", "²"][order]}`;
  const before = { "": 1, "²": 2, "³": 3 }[divided[2] as "" | "²" | "³"];
  return `${divided[1]}/s${POWERS[before + order]}`;
}

const POWERS = ["", "", "²", "³", "⁴", "⁵"];
