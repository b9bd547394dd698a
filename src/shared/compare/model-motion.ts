/**
 * A model's motion along its push, sampled from its own time 0 (at rest) to the end of its push; arrays of
 * equal length, times at even steps. Before it the model rests; after it, it goes on at its last
 * acceleration, so that a push that ends a little early can still be held against footage that has not ended.
 */
export interface ModelMotion {
  /** s, from 0, even steps. */
  readonly timeS: readonly number[];
  /** m */
  readonly position: readonly number[];
  /** m/s */
  readonly speed: readonly number[];
  /** m/s² */
  readonly acceleration: readonly number[];
}

export interface ModelState {
  readonly position: number;
  readonly speed: number;
  readonly acceleration: number;
}

const REST: ModelState = { position: 0, speed: 0, acceleration: 0 };

/**
 * The state at one instant: position by the cubic that meets position and speed at both ends of its
 * step, acceleration by a line.
 */
export function modelStateAt({ timeS, position, speed, acceleration }: ModelMotion, at: number): ModelState {
  const last = timeS.length - 1;
  const end = timeS[last];
  if (at <= timeS[0]) return REST;
  if (at >= end) {
    const [beyond, v, a] = [at - end, speed[last], acceleration[last]];
    return {
      position: position[last] + v * beyond + (a * beyond * beyond) / 2,
      speed: v + a * beyond,
      acceleration: a,
    };
  }
  const step = (end - timeS[0]) / last;
  const i = Math.min(last - 1, Math.floor((at - timeS[0]) / step));
  const w = (at - timeS[i]) / step;
  const p = position[i];
  const q = position[i + 1];
  const vp = speed[i];
  const vq = speed[i + 1];
  const w2 = w * w;
  const w3 = w2 * w;
  return {
    position:
      p * (2 * w3 - 3 * w2 + 1) + q * (3 * w2 - 2 * w3) + step * (vp * (w3 - 2 * w2 + w) + vq * (w3 - w2)),
    speed: ((q - p) / step) * 6 * (w - w2) + vp * (3 * w2 - 4 * w + 1) + vq * (3 * w2 - 2 * w),
    acceleration: acceleration[i] + w * (acceleration[i + 1] - acceleration[i]),
  };
}
