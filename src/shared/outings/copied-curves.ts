import type { Curve, Measurement } from "../results/shot-result.ts";
import type { Outing } from "../session/schema.ts";

type Copied = Outing["shots"][number]["curves"];

const MOST = 240; // points; a chart is not as wide
const DIGITS = 6;

/** The fitted motion for the charts: no more points than a chart shows, the last of them always. */
export function copiedCurves({ curves }: Pick<Measurement, "curves">): Copied {
  const { timeS, position, speed, acceleration, pitch, pitchRate } = curves;
  const step = Math.max(1, Math.ceil(timeS.length / MOST));
  const kept = [...timeS.keys()].filter((i) => i % step === 0 || i === timeS.length - 1);
  const values = (all: readonly number[]) => kept.map((i) => Number((all[i] ?? 0).toPrecision(DIGITS)));
  const one = ({ value, u }: Curve) => ({ value: values(value), u: values(u) });
  return {
    timeS: values(timeS),
    position: one(position),
    speed: one(speed),
    acceleration: one(acceleration),
    pitch: one(pitch),
    pitchRate: one(pitchRate),
  };
}
