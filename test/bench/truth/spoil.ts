import type { PlaneMark } from "../../../src/shared/kinematics/body-shape.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { SimulatedShot } from "./simulate.ts";

const MISSING = 0.3;
const MISCLICKED = 0.05;
const OFF_M = 20 * 1.3e-3; // 20 px

/** Drops 30 % of a shot's marks and moves 5 % of the rest by 20 px in a direction drawn for each. */
export function spoilMarks(
  shot: SimulatedShot,
  seed: number,
): {
  readonly marks: readonly PlaneMark[];
  /** The same marks before any was moved. */
  readonly kept: readonly PlaneMark[];
  readonly bad: readonly PlaneMark[];
  /** The marks that are left when the moved ones are taken out by one who knows them. */
  readonly good: readonly PlaneMark[];
} {
  const chance = createChance(seed);
  const bad: PlaneMark[] = [];
  const kept: PlaneMark[] = [];
  const marks = shot.marks.flatMap((mark) => {
    if (chance.uniform() < MISSING) return [];
    kept.push(mark);
    if (chance.uniform() >= MISCLICKED) return [mark];
    const way = 2 * Math.PI * chance.uniform();
    const moved = { ...mark, x: mark.x + OFF_M * Math.cos(way), y: mark.y + OFF_M * Math.sin(way) };
    bad.push(moved);
    return [moved];
  });
  return { marks, kept, bad, good: marks.filter((mark) => !bad.includes(mark)) };
}
