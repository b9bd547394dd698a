import { type SeenMovement, seenMovement } from "../scale/seen-movement.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Shot } from "../session/schema.ts";

/** What some frames of a clip show of its camera's movement. */
export type CameraSeen = NonNullable<ClipFacts["camera"]>;

/** Frames of a clip, both ends among them. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

const BESIDE = 5; // frames
const SEEN_SHARE = 0.5; // of the frames compared: fewer say nothing of a still scene
const ENOUGH = 3; // frames in the launch: between two, a hand may have come back

/** The frames that a shot's marks speak of, with a few on either side; the whole clip without marks. */
export function launchStretch({ marks }: Pick<Shot, "marks">, frames: number): Stretch {
  if (marks.length === 0) return { from: 0, to: frames - 1 };
  let [from, to] = [frames - 1, 0];
  for (const { frame } of marks) [from, to] = [Math.min(from, frame), Math.max(to, frame)];
  return { from: Math.max(0, from - BESIDE), to: Math.min(frames - 1, to + BESIDE) };
}

/** Whether a shot's camera is to be looked at: nothing is marked or followed that takes its movement out. */
export function wantsLook({ points }: Pick<FilmedShot, "points">, { marks, movement }: Shot): boolean {
  const posts = new Set(points.filter((point) => point.on === "post").map((point) => point.id));
  return movement === undefined && !marks.some((mark) => posts.has(mark.pointId));
}

/**
 * The stretches of one clip to look at for its shots, none over another: movement is known within a look
 * only, and each shot's frames lie in one. Shots without marks count where no other has any.
 * @param shots of the clip, those that want a look
 */
export function stretchesToLookAt(shots: readonly Pick<Shot, "marks">[], frames: number): readonly Stretch[] {
  const marked = shots.filter((shot) => shot.marks.length > 0);
  const sorted = (marked.length > 0 ? marked : shots)
    .map((shot) => launchStretch(shot, frames))
    .sort((a, b) => a.from - b.from);
  const apart: Stretch[] = [];
  for (const next of sorted) {
    const last = apart.at(-1);
    if (last === undefined || next.from > last.to) apart.push(next);
    else apart[apart.length - 1] = { from: last.from, to: Math.max(last.to, next.to) };
  }
  return apart;
}

/** Whether enough of a stretch was looked at. */
export function isLookedAt(camera: CameraSeen | undefined, stretch: Stretch): boolean {
  const asked = (camera?.asked ?? []).filter(within(stretch));
  return asked.length >= Math.min(ENOUGH, stretch.to - stretch.from + 1);
}

/** What was seen, with a look at a stretch in place of what was seen of those frames before. */
export function withLook(before: CameraSeen | undefined, stretch: Stretch, look: CameraSeen): CameraSeen {
  const outside = (frame: number) => !within(stretch)(frame);
  return {
    asked: [...(before?.asked ?? []).filter(outside), ...look.asked],
    frames: [...(before?.frames ?? []).filter(({ frame }) => outside(frame)), ...look.frames],
  };
}

/**
 * What a few frames show of the camera's movement in the frames of a shot that are marked, or in the whole
 * clip where none is. Null while nobody has looked there.
 */
export function cameraSeen(
  shot: Pick<Shot, "marks">,
  facts: Pick<ClipFacts, "camera" | "pts"> | null,
): SeenMovement | "unseen" | null {
  if (facts?.camera === undefined) return null;
  const inLaunch = within(launchStretch(shot, facts.pts.length));
  const asked = facts.camera.asked.filter(inLaunch);
  const frames = facts.camera.frames.filter(({ frame }) => inLaunch(frame));
  if (asked.length === 0) return null;
  return frames.length < SEEN_SHARE * asked.length ? "unseen" : seenMovement(frames);
}

function within({ from, to }: Stretch): (frame: number) => boolean {
  return (frame) => frame >= from && frame <= to;
}
