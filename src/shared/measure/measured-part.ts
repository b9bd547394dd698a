import type { Session, Shot } from "../session/schema.ts";

/**
 * A session without what the measurement of one shot does not look at: the marks of shots that hold no check
 * of a clock. The result is the same, and what goes to a worker no longer grows with the day.
 */
export function measuredPart(session: Session, shotId: string): Session {
  const dropped = new Set(session.points.filter(({ on }) => on === "dropped").map(({ id }) => id));
  const isLookedAt = ({ id, lamp, marks }: Shot) =>
    id === shotId ||
    lamp !== undefined ||
    (dropped.size > 0 && marks.some(({ pointId }) => dropped.has(pointId)));
  const shots = session.shots.map((shot) => (isLookedAt(shot) ? shot : { ...shot, marks: [] }));
  return { ...session, shots };
}
