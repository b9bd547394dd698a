import type { Session, Shot } from "./schema.ts";

/** Whether a shot's clip may check the capture rate: by a dropped object that is marked, or a lamp. */
export function holdsClockCheck({ lamp, marks }: Shot, points: Session["points"]): boolean {
  if (lamp !== undefined) return true;
  const dropped = new Set(points.filter(({ on }) => on === "dropped").map(({ id }) => id));
  return dropped.size > 0 && marks.some(({ pointId }) => dropped.has(pointId));
}
