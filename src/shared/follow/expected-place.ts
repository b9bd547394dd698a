import type { Warp } from "./match-template.ts";

/** Where a template lay, and when. */
export interface Passed extends Warp {
  /** In any unit, increasing or falling along the track. */
  readonly time: number;
}

/**
 * Where a template is expected at a time: on the parabola through its last three places (constant
 * acceleration), on the line through two, at the one; its turn goes on as between the last two. At equal
 * steps x₄ = 3 x₃ - 3 x₂ + x₁.
 * @param track the places so far, oldest first, one for each picture that is not a repeat; at least one
 * @throws RangeError without a place
 */
export function expectedPlace(track: readonly Passed[], time: number): Warp {
  const recent = track.slice(-3);
  const last = recent.at(-1);
  if (last === undefined) throw new RangeError("expectedPlace: no place is known yet");
  const shares = lagrange(
    recent.map((one) => one.time),
    time,
  );
  const two = recent.slice(-2);
  const turning = lagrange(
    two.map((one) => one.time),
    time,
  );
  const sum = (of: readonly Passed[], by: readonly number[], what: (one: Passed) => number) =>
    of.reduce((total, one, i) => total + by[i] * what(one), 0);
  return {
    x: sum(recent, shares, (one) => one.x),
    y: sum(recent, shares, (one) => one.y),
    theta: sum(two, turning, (one) => one.theta),
  };
}

/** Weights of the values at some times in the polynomial through them, at another time. */
function lagrange(times: readonly number[], at: number): readonly number[] {
  return times.map((own, i) =>
    times.reduce((product, other, j) => (j === i ? product : (product * (at - other)) / (own - other)), 1),
  );
}
