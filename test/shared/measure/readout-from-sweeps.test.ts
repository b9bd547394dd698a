import { describe, expect, it } from "vitest";
import { frameClock } from "../../../src/shared/clock/frame-clock.ts";
import { readoutFromSweeps, type SweepFrame } from "../../../src/shared/measure/readout-from-sweeps.ts";
import type { PxPoint } from "../../../src/shared/quantity/point.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const RATE = 240;
const READOUT_S = 0.0062;
const clock = unwrap(
  frameClock(
    { kind: "capture-rate", captureRateHz: { value: RATE, u: 0.5 }, repeats: null, readout: null },
    null,
  ),
);
const NO_LENS = { straighten: (at: PxPoint) => at, bend: (at: PxPoint) => at };
const PICTURE = { width: 1280, height: 720 };

/** The sensor's own picture, 1280 by 720 as read: an edge across the rows that sweeps along them. */
function onSensor(speed: number, frames: readonly number[], lean: number) {
  return frames.map((frame) => ({
    frame,
    points: [40, 250, 480, 700].map(
      (row) => [500 + lean * row + speed * (frame / RATE + (READOUT_S * row) / 720), row] as const,
    ),
  }));
}
/** As the upright picture shows what the sensor read, for a camera held turned. */
function upright(sweep: readonly SweepFrame[], rotationDeg: 0 | 90 | 180 | 270): SweepFrame[] {
  const turn = ([x, row]: PxPoint): PxPoint =>
    rotationDeg === 0
      ? [x, row]
      : rotationDeg === 90
        ? [720 - row, x]
        : rotationDeg === 180
          ? [1280 - x, 720 - row]
          : [row, 1280 - x];
  return sweep.map(({ frame, points }) => ({ frame, points: points.map(turn) }));
}

describe("readoutFromSweeps", () => {
  for (const rotationDeg of [0, 90, 180, 270] as const) {
    it(`finds the readout and the lean of edges both ways in a clip turned by ${rotationDeg}°`, () => {
      const facts = rotationDeg % 180 === 0 ? PICTURE : { width: 720, height: 1280 };
      const { readoutS, leanRad } = unwrap(
        readoutFromSweeps({
          sweeps: [onSensor(3000, [10, 12], 0.03), onSensor(-4000, [40, 41, 42], 0.03)].map((sweep) =>
            upright(sweep, rotationDeg),
          ),
          uPx: 0.5,
          leanRad: { value: 0, u: 0.1 },
          clock,
          facts: { ...facts, rotationDeg },
          lens: NO_LENS,
        }),
      );
      expect(readoutS.value).toBeCloseTo(READOUT_S, 6);
      expect(leanRad.value).toBeCloseTo(Math.atan(0.03), 3);
      expect(readoutS.u).toBeLessThan(0.001);
    });
  }

  const inputs = {
    uPx: 0.5,
    leanRad: { value: 0, u: 0.1 },
    clock,
    facts: { ...PICTURE, rotationDeg: 0 as const },
  };
  it("takes the lens out of where the edge is, and leaves its row", () => {
    // Squeezes everything towards the middle column by a tenth; taken out, the same readout is found.
    const squeezed = (sweep: readonly SweepFrame[]) =>
      sweep.map(({ frame, points }) => ({
        frame,
        points: points.map(([x, y]): PxPoint => [0.9 * x + 64, y]),
      }));
    const lens = { straighten: ([x, y]: PxPoint): PxPoint => [(x - 64) / 0.9, y], bend: NO_LENS.bend };
    const sweeps = [onSensor(3000, [10, 12], 0), onSensor(-4000, [40, 42], 0)].map(squeezed);
    expect(unwrap(readoutFromSweeps({ ...inputs, sweeps, lens })).readoutS.value).toBeCloseTo(READOUT_S, 6);
  });

  it("names the sweep that has too little, and says what a slow one would need", () => {
    const good = onSensor(3000, [10, 12], 0);
    const one = onSensor(3000, [30], 0);
    const refusal = (sweeps: readonly (readonly SweepFrame[])[]) =>
      readoutFromSweeps({ ...inputs, sweeps, lens: NO_LENS });
    expect(refusal([])).toMatchObject({ ok: false, code: "too-few-frames" });
    expect(refusal([good, [], one])).toMatchObject({
      code: "too-few-frames",
      numbers: { sweep: 1, frames: 1 },
    });
    const thin = good.map(({ frame, points }) => ({ frame, points: points.slice(0, 2) }));
    expect(refusal([thin])).toMatchObject({ code: "too-few-points", numbers: { sweep: 0, points: 2 } });
    expect(refusal([onSensor(60, [10, 12], 0)])).toMatchObject({ code: "too-slow" });
  });
});
