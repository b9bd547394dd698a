import type { ClipFacts } from "../../shared/session/clip-facts.ts";

// share of the steps that are one and the same in a clip of constant rate from which frames are gone
const REGULAR = 0.95;

/**
 * Frames that may be predicted from one that is not there: in a clip whose steps of time are otherwise the
 * same, those after a step of two or more, up to the next key frame. A camera that left a frame out predicted
 * nothing from it; a file that lost one may show any of these wrong, without a word of the decoder.
 * @returns the frames and, of each, the one before the gap
 */
export function framesAfterGap({
  pts,
  keyFrames,
}: Pick<ClipFacts, "pts" | "keyFrames">): ReadonlyMap<number, number> {
  const steps = pts.slice(1).map((ticks, i) => ticks - (pts[i] as number));
  const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  const isOne = (step: number) => Math.abs(step - usual) <= 1;
  const found = new Map<number, number>();
  if (usual <= 0 || steps.filter(isOne).length < REGULAR * steps.length) return found;
  const keys = new Set(keyFrames);
  let before: number | null = null;
  for (let frame = 1; frame < pts.length; frame++) {
    const step = steps[frame - 1] as number;
    const times = Math.round(step / usual);
    if (times >= 2 && Math.abs(step - times * usual) <= times) before = frame - 1;
    if (keys.has(frame)) before = null;
    if (before !== null) found.set(frame, before);
  }
  return found;
}
