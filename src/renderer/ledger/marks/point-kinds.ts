import { lensOutOf } from "../../../shared/measure/picture-map-of.ts";
import { steadying } from "../../../shared/measure/steadying.ts";
import type { Shake } from "../../../shared/scale/shake.ts";
import { filmedShot } from "../../../shared/session/filmed-shot.ts";
import type { Point, Session, Shot } from "../../../shared/session/schema.ts";

/** What a point is on, in the order it is offered. */
export const POINT_KINDS: readonly Point["on"][] = ["airframe", "rod", "post", "dropped"];

/** What marks of a point do, by what it is on. */
export const KIND_SAYS: Readonly<Record<Point["on"], string>> = {
  airframe: "Marks on the airframe give its place and pitch.",
  rod: "Marks on the launcher's rod are kept with the shot; they do not enter the motion.",
  post: "A post stands still: marked in every frame of the launch, it takes the camera's shake out.",
  dropped:
    "A dropped object checks the capture rate: mark its fall, from letting go until just before it lands.",
};

/**
 * The camera's movement as the marked posts show it, in words; null when no post is
 * marked or none comes of it.
 */
export function shakeSays(session: Session, shot: Shot): string | null {
  const posts = session.points.filter(
    (point) => point.on === "post" && shot.marks.some((mark) => mark.pointId === point.id),
  );
  if (posts.length === 0) return null;
  const filmed = filmedShot(session, shot);
  const { posts: shake } = steadying(filmed, lensOutOf(filmed.camera?.lens), null);
  if (shake === null) return null;
  const { shiftPx, turnRad, frames } = extremes(shake, shot);
  const turn =
    shake.kind === "shift" ? "" : ` and turned by up to ${((turnRad * 180) / Math.PI).toFixed(2)}°`;
  return `${posts.length === 1 ? "One post" : `${posts.length} posts`}, seen in ${frames} frames: the camera moved by up to ${shiftPx.toFixed(1)} px${turn}, which is taken out.`;
}

function extremes(shake: Shake, shot: Shot) {
  const found = [...new Set(shot.marks.map((mark) => mark.frame))].flatMap((frame) => shake.at(frame) ?? []);
  return {
    shiftPx: Math.max(0, ...found.map(({ shiftPx }) => Math.hypot(...shiftPx))),
    turnRad: Math.max(0, ...found.map(({ turnRad }) => Math.abs(turnRad))),
    frames: found.filter(({ posts }) => posts > 0).length,
  };
}
