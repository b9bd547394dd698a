import type { MovedFrame } from "./moved-pictures.ts";

/** px: a movement that a launch's speed does not notice; a hand holds no camera so still. */
const MIDDLE_PX = 0.5;
const CORNER_PX = 1;
const SURE_IN_U = 6; // of one frame: two are compared, and many pairs are tried

/** How far apart two frames show the still scene, the farthest of all pairs. */
export interface SeenMovement {
  readonly moves: boolean;
  /** px, the larger of what the middle and the corners have moved by. */
  readonly shiftPx: number;
}

/**
 * Whether the camera moved, from where some frames show the corners of one picture.
 * @returns null of fewer than two frames
 */
export function seenMovement(frames: readonly MovedFrame[]): SeenMovement | null {
  if (frames.length < 2) return null;
  let [shiftPx, moves] = [0, false];
  for (let i = 1; i < frames.length; i++) {
    for (let k = 0; k < i; k++) {
      const [a, b] = [frames[i], frames[k]];
      const steps = [0, 2, 4, 6].map((at) => [
        a.corners[at] - b.corners[at],
        a.corners[at + 1] - b.corners[at + 1],
      ]);
      const corner = Math.max(...steps.map(([x, y]) => Math.hypot(x, y)));
      const middle = Math.hypot(
        steps.reduce((sum, [x]) => sum + x / 4, 0),
        steps.reduce((sum, [, y]) => sum + y / 4, 0),
      );
      const sure = (of: 0 | 1) => SURE_IN_U * Math.max(a.u[of], b.u[of]);
      moves ||= middle > Math.max(MIDDLE_PX, sure(0)) || corner > Math.max(CORNER_PX, sure(1));
      shiftPx = Math.max(shiftPx, middle, corner);
    }
  }
  return { moves, shiftPx };
}
