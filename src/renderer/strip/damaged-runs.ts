import type { DamagedFrame } from "../../shared/api/contract.ts";
import type { StripRange } from "./strip-range.ts";

/** Damaged frames one after the other, both ends inclusive, and what to say of them. */
export interface DamagedRun {
  readonly from: number;
  readonly to: number;
  readonly says: string;
}

/** The runs of damaged frames that a strip shows some of. @param damaged in order */
export function damagedRuns(damaged: readonly DamagedFrame[], range?: StripRange): readonly DamagedRun[] {
  const runs: { from: number; to: number; why: string }[] = [];
  for (const { frame, why } of damaged) {
    const last = runs.at(-1);
    if (last !== undefined && frame === last.to + 1) last.to = frame;
    else runs.push({ from: frame, to: frame, why });
  }
  return runs
    .filter(({ from, to }) => range === undefined || (to >= range.from - 1 && from <= range.to + 1))
    .map(({ from, to, why }) => ({ from, to, says: `${framesOf(from, to)} cannot be shown: ${why}` }));
}

const NAMED = 3; // runs; more would hide the strip's other words

/** "Damaged in the file: frame 12, frames 30 to 41." */
export function damagedSays(damaged: readonly DamagedFrame[]): string {
  const runs = damagedRuns(damaged);
  const named = runs.slice(0, NAMED).map(({ from, to }) => framesOf(from, to));
  const more = runs.length > NAMED ? ` and ${runs.length - NAMED} more places` : "";
  return `Damaged in the file: ${named.join(", ")}${more}.`;
}

function framesOf(from: number, to: number): string {
  return from === to ? `frame ${from}` : `frames ${from} to ${to}`;
}
