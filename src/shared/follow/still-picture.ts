import type { GreyImage } from "./grey-image.ts";

const BLOCK = 16; // samples; a coder decides as little at a time on what to send again
const EVERY = 2; // samples between those that are compared
const ALONE = 1; // grey level; rounding alone leaves less
const TIMES = 4; // the typical block's change; noise alone leaves less than twice it in any of 10 000 blocks

/**
 * Whether nothing in a whole picture moved since the one before it: no block of 16 by 16 samples changed by
 * more than four times what the typical block did. A camera or an editor that shows a frame again leaves
 * this, coded anew or not; so does a scene in which everything stands. Which of both it was, the frames
 * after tell.
 */
export function isStill(before: GreyImage, picture: GreyImage): boolean {
  const { width, height } = picture;
  if (before.width !== width || before.height !== height) return false;
  const changes: number[] = [];
  for (let top = 0; top + BLOCK <= height; top += BLOCK) {
    for (let left = 0; left + BLOCK <= width; left += BLOCK) {
      changes.push(changeIn(before, picture, left, top));
    }
  }
  if (changes.length === 0) return false;
  const most = changes.reduce((a, b) => Math.max(a, b), 0);
  if (most <= ALONE) return true;
  const typical = changes.sort((a, b) => a - b)[Math.floor(changes.length / 2)];
  return most <= ALONE + TIMES * typical;
}

/** Grey levels by which a block's samples changed, on the mean. */
function changeIn(a: GreyImage, b: GreyImage, left: number, top: number): number {
  let sum = 0;
  for (let y = top; y < top + BLOCK; y += EVERY) {
    for (let at = y * a.width + left; at < y * a.width + left + BLOCK; at += EVERY) {
      sum += Math.abs(a.data[at] - b.data[at]);
    }
  }
  return sum / (BLOCK / EVERY) ** 2;
}
