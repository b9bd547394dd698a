import type { Edit } from "../../../shared/session/edits.ts";
import type { Shot } from "../../../shared/session/schema.ts";

/**
 * One edit that gives every mark that a hand alone placed the same u, px; null when all have it already.
 * Those on a target's middle keep what the picture says.
 */
export function handMarksWithU(shot: Shot, u: number): Edit | null {
  const marks = shot.marks.filter((mark) => mark.by === "hand" && !mark.snapped && mark.u !== u);
  if (marks.length === 0) return null;
  return { kind: "set-marks", shotId: shot.id, marks: marks.map((mark) => ({ ...mark, u })) };
}
