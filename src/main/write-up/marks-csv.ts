import { clockInUse } from "../../shared/measure/clock-in-use.ts";
import { type Cell, csvText } from "../../shared/results/csv.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";

const HEADER = [
  "shot",
  "point",
  "frame",
  "time_s",
  "x_px",
  "y_px",
  "u_px",
  "by",
  "dx_px",
  "dy_px",
  "z",
] as const;

/**
 * Every mark of the measured shots with what the fit leaves of it. time_s is from release, as in
 * motion.csv, and empty where release or the clock is not known; dx, dy and z are empty where the
 * mark did not enter the fit.
 */
export function marksCsv(
  session: Session,
  results: readonly ShotResult[],
  facts: ReadonlyMap<string, ClipFacts>,
): string {
  const rows = results.flatMap((result) => {
    const shot = session.shots.find((one) => one.id === result.shotId);
    return shot === undefined ? [] : rowsOf(shot, result, facts.get(shot.clip ?? "") ?? null);
  });
  return csvText(HEADER, rows);
}

function rowsOf(shot: Shot, result: ShotResult, facts: ClipFacts | null): readonly (readonly Cell[])[] {
  const key = (frame: number, pointId: string) => `${frame} ${pointId}`;
  const residuals = new Map(result.measurement?.residuals.map((r) => [key(r.frame, r.pointId), r]));
  const timeOf = timeFromRelease(shot, result, facts);
  return [...shot.marks]
    .sort((a, b) => a.frame - b.frame || a.pointId.localeCompare(b.pointId, "en"))
    .map((mark) => {
      const left = residuals.get(key(mark.frame, mark.pointId));
      return [
        shot.id,
        mark.pointId,
        mark.frame,
        timeOf(mark.frame),
        mark.x,
        mark.y,
        mark.u,
        mark.by,
        left?.dxPx ?? null,
        left?.dyPx ?? null,
        left?.z ?? null,
      ];
    });
}

function timeFromRelease(shot: Shot, { measurement }: ShotResult, facts: ClipFacts | null) {
  const stamps = facts === null ? null : timestampsS(facts);
  const clock = measurement === null ? null : clockInUse(shot, stamps, measurement);
  return (frame: number): number | null => {
    if (measurement === null || clock === null) return null;
    if (shot.clock?.kind === "timestamps" && frame >= (stamps?.length ?? 0)) return null;
    return clock.timeOf(frame) - measurement.releaseClipS;
  };
}
