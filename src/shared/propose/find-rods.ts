import type { GreyImage } from "../follow/grey-image.ts";
import type { FoundTarget } from "./find-targets.ts";

/** A rod or a board, by the places of the two targets at its ends in the list of targets. */
export type FoundRod = readonly [a: number, b: number];

const LEAST_APART = 6; // radii: two targets nearer than that leave too little between them to look at
const STEP = 2; // px along the rod
const BESIDE = 3; // radii to either side in which its edges are looked for
const LEAST_EDGE = 10; // grey levels over 2 px
const ALONG = 0.75; // of its length an edge must show
const SAME_LINE_PX = 6;
const MOST = 4; // rods: with more, one cannot be told from another by a name

/**
 * Pairs of targets between which two edges run along from one to the other: what carries both. Of three on
 * one line the outer two; the longest first. Where there are just two targets they are a pair though nothing
 * is seen between them.
 */
export function findRods(image: GreyImage, targets: readonly FoundTarget[]): readonly FoundRod[] {
  const pairs: FoundRod[] = [];
  for (let a = 0; a < targets.length; a++) {
    for (let b = a + 1; b < targets.length; b++) {
      if (isCarried(image, targets[a] as FoundTarget, targets[b] as FoundTarget)) pairs.push([a, b]);
    }
  }
  if (pairs.length === 0 && targets.length === 2) return [[0, 1]];
  const lengthOf = ([a, b]: FoundRod) => apart(targets[a] as FoundTarget, targets[b] as FoundTarget);
  const longest = pairs.sort((one, other) => lengthOf(other) - lengthOf(one));
  return longest
    .filter(
      (pair, i) => !longest.slice(0, i).some((longer) => pair.every((at) => liesOn(targets, longer, at))),
    )
    .slice(0, MOST);
}

function apart({ at: [ax, ay] }: FoundTarget, { at: [bx, by] }: FoundTarget): number {
  return Math.hypot(bx - ax, by - ay);
}

function liesOn(targets: readonly FoundTarget[], [a, b]: FoundRod, at: number): boolean {
  if (at === a || at === b) return true;
  const [one, other, third] = [targets[a], targets[b], targets[at]] as [
    FoundTarget,
    FoundTarget,
    FoundTarget,
  ];
  return apart(one, third) + apart(third, other) < apart(one, other) + SAME_LINE_PX;
}

function isCarried(image: GreyImage, one: FoundTarget, other: FoundTarget): boolean {
  const length = apart(one, other);
  const radius = Math.max(one.radiusPx, other.radiusPx);
  if (length < LEAST_APART * radius) return false;
  const [ux, uy] = [(other.at[0] - one.at[0]) / length, (other.at[1] - one.at[1]) / length];
  const stations: number[] = [];
  for (let along = 1.5 * radius; along < length - 1.5 * radius; along += STEP) stations.push(along);
  const greyAt = (along: number, across: number) =>
    grey(image, one.at[0] - 0.5 + ux * along - uy * across, one.at[1] - 0.5 + uy * along + ux * across);
  const hasEdge = (side: 1 | -1) => {
    for (let across = 1; across <= BESIDE * radius; across++) {
      let [up, down] = [0, 0];
      for (const along of stations) {
        const step = greyAt(along, side * (across + 1)) - greyAt(along, side * (across - 1));
        if (step >= LEAST_EDGE) up++;
        else if (step <= -LEAST_EDGE) down++;
      }
      if (Math.max(up, down) >= ALONG * stations.length) return true;
    }
    return false;
  };
  return hasEdge(1) && hasEdge(-1);
}

/** Between the samples in straight lines; beyond the picture the edge goes on. */
function grey({ width, height, data }: GreyImage, x: number, y: number): number {
  const [cx, cy] = [Math.max(0, Math.min(width - 1.001, x)), Math.max(0, Math.min(height - 1.001, y))];
  const [left, top] = [Math.floor(cx), Math.floor(cy)];
  const [fx, fy] = [cx - left, cy - top];
  const at = top * width + left;
  const [a, b, c, d] = [data[at], data[at + 1], data[at + width], data[at + width + 1]] as [
    number,
    number,
    number,
    number,
  ];
  return (1 - fy) * ((1 - fx) * a + fx * b) + fy * ((1 - fx) * c + fx * d);
}
