import type { PxPoint } from "../quantity/point.ts";
import type { FoundTarget } from "./find-targets.ts";

type Seen = Pick<FoundTarget, "at">;

const SAME_PX = 2; // of a target seen in two frames, the camera's shift taken out
const MOST_SHIFT_PX = 60; // of a camera in the hand, from one end of a launch to the other
const FEWEST = 2; // targets that show a shift: one alone may be anything

/**
 * Which targets of a picture stand still: those that a later picture shows at the same place, or shifted all
 * alike as by a camera in the hand. Of shifts that as many targets show, the smallest.
 */
export function stillAmong(before: readonly Seen[], later: readonly Seen[]): readonly boolean[] {
  let best = { count: matched(before, later, [0, 0]).length, far: 0, shift: [0, 0] as PxPoint };
  for (const { at: from } of before) {
    for (const { at: to } of later) {
      const shift: PxPoint = [to[0] - from[0], to[1] - from[1]];
      const far = Math.hypot(...shift);
      if (far > MOST_SHIFT_PX) continue;
      const count = matched(before, later, shift).length;
      if (count < FEWEST || count < best.count || (count === best.count && far >= best.far)) continue;
      best = { count, far, shift };
    }
  }
  const still = new Set(matched(before, later, best.shift));
  return before.map((one) => still.has(one));
}

function matched(before: readonly Seen[], later: readonly Seen[], [dx, dy]: PxPoint): readonly Seen[] {
  return before.filter(({ at: [x, y] }) =>
    later.some(({ at }) => Math.hypot(at[0] - x - dx, at[1] - y - dy) < SAME_PX),
  );
}
