import type { DamagedFrame } from "../../shared/api/contract.ts";
import type { StripRange } from "./strip-range.ts";

/** Damaged or doubtful frames one after the other, both ends inclusive, and what to say of them. */
export interface DamagedRun {
  readonly from: number;
  readonly to: number;
  readonly shown: boolean;
  readonly says: string;
}

/** The runs of damaged frames that a strip shows some of. @param damaged in order */
export function damagedRuns(damaged: readonly DamagedFrame[], range?: StripRange): readonly DamagedRun[] {
  const runs: { from: number; to: number; why: string; shown: boolean }[] = [];
  for (const { frame, why, shown } of damaged) {
    const last = runs.at(-1);
    if (last !== undefined && frame === last.to + 1 && shown === last.shown) last.to = frame;
    else runs.push({ from: frame, to: frame, why, shown });
  }
  return runs
    .filter(({ from, to }) => range === undefined || (to >= range.from - 1 && from <= range.to + 1))
    .map(({ from, to, why, shown }) => ({
      from,
      to,
      shown,
      says: `${framesOf(from, to)} ${shown ? "may be damaged" : "cannot be shown"}: ${why}`,
    }));
}

const NAMED = 3; // runs; more would hide the strip's other words

/** "2 marks lie on damaged frames: check them. Damaged: 12, 30 to 41. In doubt: 11." */
export function damagedSays(damaged: readonly DamagedFrame[], marks: number): string {
  const [lost, doubtful] = [damaged.filter(({ shown }) => !shown), damaged.filter(({ shown }) => shown)];
  return [
    ...(marks === 1 ? ["1 mark lies on a damaged frame: check it."] : []),
    ...(marks > 1 ? [`${marks} marks lie on damaged frames: check them.`] : []),
    ...(lost.length > 0 ? [`Damaged: ${namesOf(lost)}.`] : []),
    ...(doubtful.length > 0 ? [`In doubt: ${namesOf(doubtful)}.`] : []),
  ].join(" ");
}

function namesOf(damaged: readonly DamagedFrame[]): string {
  const runs = damagedRuns(damaged);
  const named = runs.slice(0, NAMED).map(({ from, to }) => (from === to ? `${from}` : `${from} to ${to}`));
  return `${named.join(", ")}${runs.length > NAMED ? ` and ${runs.length - NAMED} more places` : ""}`;
}

function framesOf(from: number, to: number): string {
  return from === to ? `frame ${from}` : `frames ${from} to ${to}`;
}
