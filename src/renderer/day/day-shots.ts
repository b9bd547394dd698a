import { useMemo } from "react";
import type { ClipEntry } from "../../shared/api/contract.ts";
import type { DayShot } from "../../shared/day/day-columns.ts";
import type { TimeWords } from "../../shared/day/day-table.ts";
import { shotsElsewhere } from "../../shared/day/shots-elsewhere.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import { launchInputs } from "../../shared/session/launch-inputs.ts";
import type { Session } from "../../shared/session/schema.ts";
import { useAppState } from "../actions/app-context.ts";
import { sessionOf } from "../app-state/app-state.ts";

/** The shots of a session, then those of other outings, with what their rows are made of. */
export function dayShotsOf(
  session: Session,
  results: Readonly<Record<string, ShotResult>>,
  clips: readonly ClipEntry[],
): readonly DayShot[] {
  const written = new Map(clips.map(({ name, modifiedMs, fault }) => [name, fault ? null : modifiedMs]));
  const own = session.shots.map((shot, i) => ({
    shot,
    number: i + 1,
    launch: launchInputs(session, shot),
    clipMs: shot.clip === null ? null : (written.get(shot.clip) ?? null),
    result: results[shot.id] ?? null,
  }));
  return [...own, ...shotsElsewhere(session)];
}

/** The shots of the window's day, kept as long as nothing of them changes. */
export function useDayShots(): readonly DayShot[] {
  const session = useAppState(sessionOf);
  const results = useAppState((s) => s.results);
  const clips = useAppState((s) => s.clips);
  return useMemo(() => dayShotsOf(session, results, clips), [session, results, clips]);
}

/**
 * Words an instant by the person's own clock: the minute, which tells clips of one outing apart, and the day
 * where the clips are of more than one.
 */
export function timeWordsFor(shots: readonly DayShot[]): TimeWords {
  const days = new Set(shots.flatMap(({ clipMs }) => (clipMs === null ? [] : [DAY.format(clipMs)])));
  return days.size > 1 ? dayAndMinute : minute;
}

// The same words for the same need, whichever list they are asked for: rows compare them.
const minute: TimeWords = (ms) => MINUTE.format(ms);
const dayAndMinute: TimeWords = (ms) => DAY_AND_MINUTE.format(ms);

const DAY = new Intl.DateTimeFormat(undefined, { dateStyle: "medium" });
const MINUTE = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit", hour12: false });
const DAY_AND_MINUTE = new Intl.DateTimeFormat(undefined, {
  month: "short",
  day: "numeric",
  hour: "2-digit",
  minute: "2-digit",
  hour12: false,
});
