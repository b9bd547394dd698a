import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { MotionSegment } from "./motion-basis.ts";
import type { MotionPosterior } from "./motion-posterior.ts";

/**
 * Coordinates of the pose in the launch frame: 0 along the launch direction (m), 1 across it,
 * upwards (m), 2 pitch (rad).
 */
export type Coordinate = 0 | 1 | 2;
export type Derivative = 0 | 1 | 2;

/** The d-th derivative of one coordinate's posterior mean at an instant, gravity after release included. */
export function meanAt(
  posterior: MotionPosterior,
  directionRad: number,
  coordinate: Coordinate,
  derivative: Derivative,
  timeS: number,
): number {
  return motionAt(posterior, directionRad, timeS)(coordinate, derivative);
}

/**
 * The posterior mean at one instant as a function of coordinate and derivative: what the basis rows
 * give, without making them.
 */
export function motionAt(
  posterior: MotionPosterior,
  directionRad: number,
  timeS: number,
): (coordinate: Coordinate, derivative: Derivative) => number {
  const { basis } = posterior;
  const { segments } = basis;
  const cubics = cubicsOf(posterior);
  let at = segments.length - 1;
  while (at > 1 && timeS <= (segments[at] as MotionSegment).fromS) at--;
  if (at === 1 && timeS < basis.startS) at = 0;
  const { fromS, widthS } = segments[at] as MotionSegment;
  const t = Math.min(timeS - fromS, widthS);
  const after = timeS - fromS - t;
  return (coordinate, derivative) => {
    const from = (at * 3 + coordinate) * 4;
    const [x, v] = [cubics[from], cubics[from + 1]];
    const [a, jerk] = [cubics[from + 2], cubics[from + 3]];
    const acceleration = a + t * jerk;
    const speed = v + t * (a + (t * jerk) / 2);
    const own =
      derivative === 2
        ? acceleration
        : derivative === 1
          ? speed + after * acceleration
          : x + t * (v + t * (a / 2 + (t * jerk) / 6)) + after * (speed + (after * acceleration) / 2);
    return own + fallen(timeS - basis.releaseS, directionRad, coordinate, derivative);
  };
}

const kept = new WeakMap<MotionPosterior, Float64Array>();

/**
 * [segments * 3 * 4]: place, speed, acceleration and jerk of each coordinate at the start of each segment;
 * kept with the posterior.
 */
function cubicsOf(posterior: MotionPosterior): Float64Array {
  const known = kept.get(posterior);
  if (known) return known;
  const { basis, mean } = posterior;
  const cubics = new Float64Array(basis.segments.length * 12);
  basis.segments.forEach(({ widthS, left, position, velocity, extent }, at) => {
    for (let c = 0; c < 3; c++) {
      const from = c * basis.size;
      let [x, v] = [0, 0];
      for (let i = 0; i < extent; i++) {
        x += position[i] * mean[from + i];
        v += velocity[i] * mean[from + i];
      }
      const [a0, a1] = left < 0 ? [0, 0] : [mean[from + left], mean[from + left + 1]];
      cubics.set([x, v, a0, left < 0 ? 0 : (a1 - a0) / widthS], (at * 3 + c) * 4);
    }
  });
  kept.set(posterior, cubics);
  return cubics;
}

/** The pose [s, n, pitch] of the posterior mean at an instant. */
export function meanPose(
  posterior: MotionPosterior,
  directionRad: number,
  timeS: number,
): readonly [number, number, number] {
  const at = motionAt(posterior, directionRad, timeS);
  return [at(0, 0), at(1, 0), at(2, 0)];
}

/** What gravity adds after release: it is known, so it is not among the fitted coefficients. */
function fallen(
  flownS: number,
  directionRad: number,
  coordinate: Coordinate,
  derivative: Derivative,
): number {
  if (coordinate === 2 || flownS <= 0) return 0;
  const g = -STANDARD_GRAVITY * (coordinate === 0 ? Math.sin(directionRad) : Math.cos(directionRad));
  return derivative === 0 ? (g * flownS * flownS) / 2 : derivative === 1 ? g * flownS : g;
}
