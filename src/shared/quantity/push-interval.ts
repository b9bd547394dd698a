/**
 * First motion is where the speed along the launch direction reaches this share of that at release, and the
 * push time and all means over the push run from there to as much below the speed at release. The instants at
 * which a push begins from nothing, or fades out, leave no trace in marks; these do, in every push, and the
 * models tell the same.
 */
export const SPEED_SHARE = 0.02;

// looked back through from release; a push that dips below within one of them is taken whole
const STEPS = 128;
const HALVINGS = 40;

export interface PushInterval {
  readonly firstS: number;
  readonly lastS: number;
  readonly pushS: number;
  /** m/s², speed gained over the time it took. */
  readonly meanMPerS2: number;
}

/** The push of a model as it is counted: between 2 and 98 % of its speed at release. */
export function pushInterval(speedAt: (timeS: number) => number, fromS: number, toS: number): PushInterval {
  const speed = speedAt(toS);
  const firstS = lastReaching(speedAt, SPEED_SHARE * speed, fromS, toS);
  const lastS = lastReaching(speedAt, (1 - SPEED_SHARE) * speed, fromS, toS);
  const pushS = lastS - firstS;
  return { firstS, lastS, pushS, meanMPerS2: ((1 - 2 * SPEED_SHARE) * speed) / pushS };
}

/** s, where a speed is passed for the last time before the end; the beginning where it never was below. */
function lastReaching(speedAt: (timeS: number) => number, speed: number, fromS: number, toS: number): number {
  let high = toS;
  for (let step = 1; step <= STEPS; step++) {
    let low = toS - ((toS - fromS) * step) / STEPS;
    if (speedAt(low) >= speed) {
      high = low;
      continue;
    }
    for (let i = 0; i < HALVINGS; i++) {
      const middle = (low + high) / 2;
      if (speedAt(middle) < speed) low = middle;
      else high = middle;
    }
    return high;
  }
  return fromS;
}
