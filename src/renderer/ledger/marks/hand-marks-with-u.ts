import type { Edit } from "../../../shared/session/edits.ts";
import type { Shot } from "../../../shared/session/schema.ts";

/** One edit that gives every mark placed by hand the same u, px; null when all have it already. */
export function handMarksWithU(shot: Shot, u: number): Edit | null {
  const marks = shot.marks.filter((mark) => mark.by === "hand" && mark.u !== u);
  if (marks.length === 0) return null;
  return { kind: "set-marks", shotId: shot.id, marks: marks.map((mark) => ({ ...mark, u })) };
}
