import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { checksOfCamera, clockChecksOf } from "../../../src/shared/measure/clock-checks.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { shotClock } from "../../../src/shared/measure/shot-clock.ts";
import type { BudgetLine, QuantityName } from "../../../src/shared/results/shot-result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Camera, Session, Shot } from "../../../src/shared/session/schema.ts";
import { FACTS, type Filmed, fallSession, fallShot, TRUE_RATE_HZ } from "./dropped-object.ts";

it("reads nothing of a shot without lamp and drop but its marks: a day's shots are asked each time one is measured", () => {
  const session = exampleSession(1);
  const [first] = session.shots;
  const { lamp: _lamp, ...shot } = first!;
  const marks = shot.marks.filter(({ pointId }) => pointId === "nose");
  const read: PropertyKey[] = [];
  const watched = new Proxy(
    { ...shot, marks },
    {
      get(target, key) {
        read.push(key);
        return Reflect.get(target, key);
      },
    },
  );
  expect(clockChecksOf({ ...filmedShot(session, first!), shot: watched }, null)).toEqual({
    checks: [],
    notices: [],
  });
  expect(read.filter((key) => key !== "marks" && key !== "lamp")).toEqual([]);
});

const INSERTED = Array.from({ length: 30 }, (_, i) => 4 + 5 * i);

function rateOf(shot: Shot, camera: Partial<Camera> = {}) {
  const session = fallSession([shot], camera);
  const { checks, notices } = checksOfCamera(filmedShot(session, shot), FACTS);
  expect(notices.map(({ code }) => code)).toEqual([]);
  return checks[0]!.captureRateHz;
}

describe("the rate by a dropped object", () => {
  it.each<readonly [string, Filmed, Partial<Camera>]>([
    ["filmed plainly", {}, {}],
    ["in a plane turned by 0.2", { turnRad: 0.2 }, {}],
    ["in a plane turned by 0.4 rad", { turnRad: 0.4 }, {}],
    ["in a clip that lacks five frames", { gap: { afterFrame: 30, missing: 5 } }, {}],
    ["in a clip of which every fifth frame repeats", { inserted: INSERTED }, {}],
    ["read in 8 ms from the top", { readoutS: 0.008 }, { readoutS: { value: 0.008, u: 2e-4 } }],
    ["read in 8 ms from the bottom", { readoutS: -0.008 }, { readoutS: { value: -0.008, u: 2e-4 } }],
    ["by a camera that moves", { shake: (k) => [3 * Math.sin(k / 9), 0.2 * k + 0.004 * k ** 2] }, {}],
  ])("is the camera's, %s", (_, filmed, camera) => {
    const { value, u } = rateOf(fallShot("drop", filmed), camera);
    expect(Math.abs(value - TRUE_RATE_HZ)).toBeLessThan(2.5 * u);
    // half of the rod's 0.2 %, and what some hundred marks leave
    expect(u / value).toBeGreaterThan(0.001);
    expect(u / value).toBeLessThan(0.002);
  });

  it("states a u that 60 seeded falls scatter with, the rod as much off as its u allows", () => {
    const z = Array.from({ length: 60 }, (_, seed) => {
      // two values of the rod's error, as far off as its standard deviation
      const { value, u } = rateOf(fallShot("drop", { seed, rodBy: 1 + (seed % 2 === 0 ? 0.002 : -0.002) }));
      return (value - TRUE_RATE_HZ) / u;
    });
    const rms = Math.sqrt(z.reduce((sum, one) => sum + one ** 2, 0) / z.length);
    expect(Math.abs(rms - 1)).toBeLessThan(0.25); // the marks' part by chance, the rod's fixed
  });

  it("needs no rolling shutter's facts where there is no rolling shutter", () => {
    const session = fallSession([fallShot("drop", {})]);
    const [bare, read] = [null, FACTS].map(
      (facts) => checksOfCamera(filmedShot(session, session.shots[0]!), facts).checks[0]!.captureRateHz,
    );
    expect(bare!.value).toBeCloseTo(read!.value, 9);
  });
});

describe("the rate by a lamp", () => {
  const INTERVAL_FRAMES = 48;
  /** First frames of the file that show each change. */
  function changes({ inserted = [], gap }: Filmed): number[] {
    const taken = (frame: number) =>
      frame -
      inserted.filter((one) => one <= frame).length +
      (gap !== undefined && frame > gap.afterFrame ? gap.missing : 0);
    return Array.from({ length: 12 }, (_, blink) => {
      let frame = 0;
      while (taken(frame) < 0.37 + INTERVAL_FRAMES * blink) frame++;
      return frame;
    });
  }

  it.each<readonly [string, Filmed]>([
    ["plain clip", {}],
    ["clip that lacks twenty frames", { gap: { afterFrame: 100, missing: 20 } }],
    [
      "clip of which every fifth frame repeats",
      { inserted: Array.from({ length: 200 }, (_, i) => 4 + 5 * i) },
    ],
  ])("is the camera's in a %s", (_, filmed) => {
    const frames = changes(filmed);
    const lamp = { intervalS: { value: INTERVAL_FRAMES / TRUE_RATE_HZ, u: 1e-6 }, frames };
    const { value, u } = rateOf(fallShot("lamp", filmed, { marks: [], lamp }));
    expect(Math.abs(value - TRUE_RATE_HZ)).toBeLessThan(2.5 * u);
    expect(u / value).toBeLessThan(0.0015);
  });

  it("has the wider u where the change fell into a gap", () => {
    const gap = { afterFrame: 520, missing: 20 };
    const interval = { value: 0.1, u: 1e-6 };
    const lamp = (filmed: Filmed) => ({ intervalS: interval, frames: changes(filmed) });
    const [plain, lost] = [{}, { gap }].map((one) =>
      rateOf(fallShot("lamp", one, { marks: [], lamp: lamp(one) })),
    );
    expect(lost!.u).toBeGreaterThan(plain!.u);
  });
});

describe("rate and lengths by one rod", () => {
  const ofExample = exampleSession(1);
  const [launch] = ofExample.shots as [Shot];
  /** The example's launch through the camera of the falls, which has next to no rate of its own. */
  function session(drops: number, rod: Partial<NonNullable<Shot["scale"]>> = {}): Session {
    const falls = Array.from({ length: drops }, (_, i) => fallShot(`drop-${i}`, { seed: i + 1 }));
    const [{ scale, plumb }] = falls as [Shot];
    const clock = { kind: "capture-rate", captureRateHz: { value: 480, u: 40 }, useChecks: true } as const;
    return fallSession([
      ...falls,
      { ...launch, cameraId: "side", clock, scale: { ...scale!, ...rod }, plumb },
    ]);
  }
  function shareOf(of: Session, name: QuantityName, source: BudgetLine["source"]): number {
    const { measurement } = measureShot(of, launch.id, FACTS);
    const line = measurement!.budget[name]!.find((one) => one.source === source)?.u ?? 0;
    return line / measurement!.quantities[name]!.value;
  }

  it("leave a speed half of the rod's error and an acceleration none of it", () => {
    const one = session(1);
    expect(shareOf(one, "releaseSpeed", "scale")).toBeCloseTo(0.001, 4);
    expect(shareOf(one, "peakAcceleration", "scale")).toBeLessThan(1e-4);
    // in parts of the rod's 0.2 %: the prior of the air, in metres, holds release a little
    expect(shareOf(one, "stroke", "scale") / 0.002).toBeCloseTo(1, 1);
  });

  it("are independent where the launch has a rod of its own, of another length", () => {
    const other = session(1, { rodM: { value: 1.002, u: 0.0021 } });
    expect(shareOf(other, "releaseSpeed", "scale")).toBeCloseTo(0.0021, 4);
    expect(shareOf(other, "releaseSpeed", "clock")).toBeGreaterThan(0.001);
  });

  it("are not better known by eight drops than by the rod: half of its u stays in the rate", () => {
    const rateU = (drops: number) => {
      const of = session(drops);
      const { clock } = shotClock(filmedShot(of, of.shots.at(-1)!), FACTS);
      return clock!.captureRateHz!.u / clock!.captureRateHz!.value;
    };
    expect(rateU(8)).toBeGreaterThan(0.00099);
    expect(rateU(8)).toBeLessThan(rateU(1));
  });
});
