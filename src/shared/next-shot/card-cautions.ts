import { elementAt, lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { GRAVITY } from "../quantity/notice.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { CardCaution, CardCell, CardRow, SpeedCard } from "./card-content.ts";
import type { LimitEnd } from "./limit-ends.ts";

/** A cell before its cautions are gathered. */
export interface SaidCell extends Omit<CardCell, "cautions"> {
  readonly says: readonly ShotNotice[];
}

export interface SaidColumn {
  readonly massKg: Measured;
  readonly cells: readonly SaidCell[];
  readonly ends: readonly LimitEnd[];
}

/** What the launcher calls for at any setting; where that holds numbers of it, those of the last row. */
export function ofLauncher(
  rows: readonly CardRow[],
  massKg: Measured,
  calledFor: (x: number) => readonly ShotNotice[],
): readonly CardCaution[] {
  const [first, last] = [elementAt(rows, 0), lastOf(rows)];
  const atFirst = new Set(calledFor(first.x ?? 0).map(({ cause }) => cause));
  return calledFor(last.x ?? 0)
    .filter(({ code }) => !SAID_BY_MARKS.some((one) => one === code))
    .map((notice) => ({ notice, at: atFirst.has(notice.cause) ? null : { row: last, massKg } }));
}

/** The rows at a limit of the setting itself name it. */
const SAID_BY_MARKS: readonly ShotNotice["code"][] = [
  "over-rating",
  "near-rating",
  "over-relief",
  "near-relief",
];

/**
 * The card's cautions, the gravest first, each once: what the launcher calls for, and what predictions warn
 * of where no limit forbids the speed. Each cell refers to its own.
 */
export function gathered(
  rows: readonly CardRow[],
  columns: readonly SaidColumn[],
  calledFor: readonly CardCaution[],
): Pick<SpeedCard, "columns" | "cautions"> {
  const everywhere = new Set(calledFor.map(({ notice }) => notice.code));
  const byCode = new Map<string, CardCaution>();
  for (const { massKg, cells } of columns) {
    cells.forEach(({ says, broken }, i) => {
      for (const notice of broken.length > 0 ? [] : says) {
        const known = byCode.get(notice.code);
        if (everywhere.has(notice.code)) continue;
        if (known === undefined || GRAVITY[notice.level] > GRAVITY[known.notice.level])
          byCode.set(notice.code, { notice, at: { row: elementAt(rows, i), massKg } });
      }
    });
  }
  const cautions = [...byCode.values(), ...calledFor].toSorted(
    (a, b) => GRAVITY[b.notice.level] - GRAVITY[a.notice.level],
  );
  const indexOf = new Map(cautions.map(({ notice }, i) => [notice.code, i]));
  return {
    cautions,
    columns: columns.map(({ massKg, ends, cells }) => ({
      massKg,
      ends,
      cells: cells.map(({ says, ...cell }) => {
        const own = cell.broken.length > 0 ? [] : says.filter(({ code }) => !everywhere.has(code));
        const at = new Set(own.flatMap(({ code }) => indexOf.get(code) ?? []));
        return { ...cell, cautions: [...at].sort((a, b) => a - b) };
      }),
    })),
  };
}
