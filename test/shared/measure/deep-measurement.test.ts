import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { createMeasurer } from "../../../src/shared/measure/measurer.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";
import type { BudgetLine, QuantityName, ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { Camera, Mark, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf } from "../../support/one-of-each.ts";

const SESSION = exampleSession(1);
const SHOT = SESSION.shots[0]!;
const CAMERA: Camera = { id: "side", name: "side", captureRateHz: { value: 960, u: 2 }, exposureS: null };

function withShot(patch: Partial<Shot>, camera: Partial<Camera> = {}): Session {
  return {
    ...SESSION,
    cameras: [{ ...CAMERA, ...camera }],
    shots: [{ ...SHOT, cameraId: "side", ...patch }],
  };
}
const measured = (session: Session): ShotResult => measureShot(session, SHOT.id, null);
const value = (result: ShotResult, name: QuantityName) => result.measurement!.quantities[name]!;
const line = (result: ShotResult, name: QuantityName, source: BudgetLine["source"]) =>
  result.measurement!.budget[name]!.find((one) => one.source === source)?.u ?? 0;
const codes = (result: ShotResult) => result.notices.map((notice) => notice.code);
const PLAIN = measured(withShot({}));

describe("the systematic budget", () => {
  it("gives the scale's part of the speed as the first-order law does: v u(s)/s", () => {
    const { scale } = PLAIN.measurement!;
    const v = value(PLAIN, "releaseSpeed").value;
    expect(line(PLAIN, "releaseSpeed", "scale") / ((v * scale.u) / scale.value)).toBeCloseTo(1, 1);
  });

  it("gives the clock's part by the powers of the rate: speed 1, acceleration 2, pitch rate 1", () => {
    const clock = SHOT.clock!;
    if (clock.kind !== "capture-rate") throw new Error("the example's clock is a capture rate");
    const relative = clock.captureRateHz.u / clock.captureRateHz.value;
    for (const [name, power] of [
      ["releaseSpeed", 1],
      ["peakAcceleration", 2],
    ] as const) {
      const expected = power * relative * value(PLAIN, name).value;
      expect(line(PLAIN, name, "clock") / expected, name).toBeCloseTo(1, 1);
    }
  });

  it("lets a plumb that hangs worse make angles worse by as much, in quadrature, and the speed not at all", () => {
    const worse = measured(withShot({ plumb: { ...SHOT.plumb!, hangRad: 0.01 } }));
    const before = line(PLAIN, "launchAngle", "plumb");
    const added = Math.sqrt(0.01 ** 2 - SHOT.plumb!.hangRad ** 2);
    expect(line(worse, "launchAngle", "plumb")).toBeCloseTo(Math.hypot(before, added), 3);
    expect(value(worse, "releaseSpeed").u / value(PLAIN, "releaseSpeed").u).toBeCloseTo(1, 2);
  });
});

describe("further rods, levels and planes", () => {
  it("narrows the scale when a second rod of the same length is marked", () => {
    const rod = SHOT.scale!;
    const above: typeof rod = { ...rod, a: [rod.a[0], rod.a[1] - 60], b: [rod.b[0], rod.b[1] - 60] };
    const two = measured(withShot({ rods: [above] }));
    const ratio = line(two, "releaseSpeed", "scale") / line(PLAIN, "releaseSpeed", "scale");
    expect(ratio).toBeCloseTo(Math.SQRT1_2, 1);
    expect(value(two, "releaseSpeed").value).toBeCloseTo(value(PLAIN, "releaseSpeed").value, 2);
  });

  it("refuses rods that disagree, naming the rod to look at", () => {
    const rod = SHOT.scale!;
    const wrong = { ...rod, rodM: { ...rod.rodM, value: 1.1 * rod.rodM.value } };
    expect(codes(measured(withShot({ rods: [wrong] })))).toContain(ofShot("rods-disagree"));
  });

  it("takes a flight plane 0.1 m nearer than the scale at 5 m for 2 % less speed (pinhole camera)", () => {
    const setting = {
      distanceM: { value: 5, u: 0.01 },
      nearerM: { value: 0.1, u: 0.01 },
      turnRad: { value: 0, u: 0 },
    };
    const nearer = measured(withShot({ setting }));
    expect(value(nearer, "releaseSpeed").value / value(PLAIN, "releaseSpeed").value).toBeCloseTo(0.98, 3);
    // u(dz)/Z = 0.2 % of the speed
    const plane = line(nearer, "releaseSpeed", "plane") / value(nearer, "releaseSpeed").value;
    expect(plane).toBeCloseTo(0.002, 4);
  });

  it("agrees with rod and plumb when the plane is known by points instead", () => {
    // Places that the rod's own map gives to five pixels, so that both say the same of the plane.
    const { scale } = PLAIN.measurement!;
    const plumb = SHOT.plumb!;
    const roll = Math.atan2(plumb.top[0] - plumb.bottom[0], plumb.bottom[1] - plumb.top[1]);
    const [cos, sin] = [Math.cos(roll), Math.sin(roll)];
    const points = (
      [
        [200, 200],
        [1700, 240],
        [1650, 900],
        [240, 880],
        [900, 500],
      ] as const
    ).map(([x, y]) => ({
      at: [x, y] as [number, number],
      xM: scale.value * (cos * x + sin * y),
      yM: scale.value * (sin * x - cos * y),
    }));
    const known = measured(withShot({ control: { uPx: 0.4, uM: 0.0005, points } }));
    expect(value(known, "releaseSpeed").value / value(PLAIN, "releaseSpeed").value).toBeCloseTo(1, 4);
    expect(value(known, "launchAngle").value).toBeCloseTo(value(PLAIN, "launchAngle").value, 4);
    expect(line(known, "releaseSpeed", "plane")).toBeGreaterThan(0);
    expect(line(known, "releaseSpeed", "scale")).toBe(0);
  });

  it("refuses known points in a line with what to do", () => {
    const points = [0, 1, 2, 3].map((k) => ({ at: [100 + 300 * k, 500] as [number, number], xM: k, yM: 0 }));
    const result = measured(withShot({ control: { uPx: 0.4, uM: 0.001, points } }));
    expect(codes(result)).toContain(ofShot("plane-points-in-line"));
  });
});

describe("a camera that moves", () => {
  it("gives back the still camera's speed when posts show the movement, less surely by what their marks leave open", () => {
    const shift = (frame: number): [number, number] => [3 * Math.sin(frame / 9), 2 * Math.cos(frame / 7)];
    const posts = [
      [80, 900],
      [1840, 860],
      [960, 1000],
    ] as const;
    const frames = [...new Set(SHOT.marks.map((mark) => mark.frame))];
    const shaken: Mark[] = SHOT.marks.map((mark) => {
      const [dx, dy] = shift(mark.frame);
      return { ...mark, x: mark.x + dx, y: mark.y + dy };
    });
    const seen = (seed: number): Mark[] => {
      const chance = createChance(seed);
      return frames.flatMap((frame) =>
        posts.map(([x, y], i): Mark => {
          const [dx, dy] = shift(frame);
          const at = { x: x + dx + 0.2 * chance.normal(), y: y + dy + 0.2 * chance.normal() };
          return { pointId: `post-${i}`, frame, ...at, u: 0.2, by: "hand" };
        }),
      );
    };
    const points = posts.map((_, i) => ({
      id: `post-${i}`,
      name: `post ${i}`,
      on: "post" as const,
      airframeId: null,
      body: null,
    }));
    const still = value(PLAIN, "releaseSpeed");
    const found = [11, 12, 13, 14, 15, 16].map((seed) => {
      const session = withShot({ marks: [...shaken, ...seen(seed)] });
      return measured({ ...session, points: [...SESSION.points, ...points] });
    });
    const speeds = found.map((result) => value(result, "releaseSpeed"));
    for (const one of speeds) expect(Math.abs(one.value - still.value)).toBeLessThan(2 * still.u);
    // What the posts' own marks leave open is scatter that the still camera's marks do not have.
    const scatter = ({ measurement }: ShotResult) => {
      const px = measurement!.residuals.map(({ dxPx, dyPx }) => Math.hypot(dxPx, dyPx));
      return Math.hypot(...px) / Math.sqrt(px.length);
    };
    expect(Math.hypot(...found.map(scatter)) / Math.sqrt(found.length)).toBeGreaterThan(scatter(PLAIN));
    // Without the posts the movement is taken for what the air could not do.
    const untold = measured(withShot({ marks: shaken }));
    expect(untold.measurement).toBeNull();
    expect(codes(untold)).toContain(ofShot("pushed-on"));
  });
});

describe("checks of the capture rate", () => {
  /** A steel ball falling 1.2 m in view of the example's camera, seen at `rate` frames a second. */
  function dropped(rate: number, useChecks = true): Session {
    const chance = createChance(5);
    const scale = PLAIN.measurement!.scale.value;
    const plumb = SHOT.plumb!;
    const lean = Math.atan2(plumb.top[0] - plumb.bottom[0], plumb.bottom[1] - plumb.top[1]);
    const marks = Array.from({ length: 90 }, (_, i): Mark => {
      const t = (5 * i) / rate;
      const fall = (STANDARD_GRAVITY * t * t) / 2 / scale;
      const [x, y] = [400 - Math.sin(lean) * fall, 80 + Math.cos(lean) * fall];
      return {
        pointId: "ball",
        frame: 5 * i,
        x: x + 0.3 * chance.normal(),
        y: y + 0.3 * chance.normal(),
        u: 0.3,
        by: "hand",
      };
    });
    const drop: Shot = { ...SHOT, id: "drop", name: "drop", cameraId: "side", marks };
    const base = withShot({
      clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 8 }, useChecks },
    });
    const ball = { id: "ball", name: "ball", on: "dropped" as const, airframeId: null, body: null };
    return { ...base, points: [...SESSION.points, ball], shots: [...base.shots, drop] };
  }

  it("finds the rate a drop implies, uses it for other shots of the camera, and narrows the clock", () => {
    const result = measured(dropped(950));
    const [check] = result.measurement!.clockChecks;
    expect(check!.kind).toBe("drop");
    expect(Math.abs(check!.captureRateHz.value - 950)).toBeLessThan(3 * check!.captureRateHz.u);
    const used = result.measurement!.captureRateHz!;
    expect(used.u).toBeLessThan(check!.captureRateHz.u);
    expect(Math.abs(used.value - 950)).toBeLessThan(3 * used.u);
  });

  it.each([
    ["used", true],
    ["not used", false],
  ])(
    "keeps the stated rate when a check that is %s contradicts it, says so, and widens by as much",
    (_, used) => {
      const result = measured(dropped(900, used));
      expect(codes(result)).toContain(ofShot("rates-disagree"));
      const { value: rate, u } = result.measurement!.captureRateHz!;
      expect(rate).toBe(960);
      expect(u).toBeGreaterThan(55);
      expect(u).toBeLessThan(65);
      const speed = value(result, "releaseSpeed");
      expect(line(result, "releaseSpeed", "clock") / ((speed.value * u) / rate)).toBeCloseTo(1, 1);
    },
  );

  it("leaves the stated rate alone where a check that is not used agrees with it", () => {
    const result = measured(dropped(950, false));
    expect(result.measurement!.captureRateHz).toEqual({ value: 960, u: 8 });
    expect(codes(result)).not.toContain(ofShot("rates-disagree"));
  });

  it("reads a lamp: changes every 24 frames at 0.025 s are 960 frames a second", () => {
    const lamp = { intervalS: { value: 0.025, u: 1e-6 }, frames: [3, 27, 51, 75, 99, 123, 147] };
    const result = measured(withShot({ lamp }));
    const [check] = result.measurement!.clockChecks;
    expect(check!.kind).toBe("lamp");
    expect(Math.abs(check!.captureRateHz.value - 960)).toBeLessThan(2 * check!.captureRateHz.u);
  });

  it("warns of blur beyond three pixels, with the exposure that would do", () => {
    const result = measured(withShot({}, { exposureS: 1 / 500 }));
    expect(codes(result)).toContain(ofShot("blurred"));
    expect(result.measurement!.blurPx!).toBeCloseTo(
      value(PLAIN, "releaseSpeed").value / 500 / PLAIN.measurement!.scale.value,
      6,
    );
  });
});

describe("other ways of seeing release", () => {
  /** The rod's tip, 0.3 m ahead of the airframe's nose target until release, then left behind at 6 m/s. */
  function withRod(offset: number): Session {
    const chance = createChance(3);
    const { releaseClipS, residuals } = PLAIN.measurement!;
    const rate = SHOT.clock?.kind === "capture-rate" ? SHOT.clock.captureRateHz.value : 0;
    const scale = PLAIN.measurement!.scale.value;
    const angle = value(PLAIN, "launchAngle").value;
    const tip = SHOT.marks
      .filter((mark) => mark.pointId === SHOT.marks[0]!.pointId && mark.frame / rate > releaseClipS - 0.03)
      .map((mark): Mark => {
        const fitted = residuals.find((one) => one.pointId === mark.pointId && one.frame === mark.frame)!;
        const behind = (6 * Math.max(0, mark.frame / rate - releaseClipS - offset)) / scale;
        const x = mark.x - fitted.dxPx + (200 - behind) * Math.cos(angle) + 0.3 * chance.normal();
        const y = mark.y - fitted.dyPx - (200 - behind) * Math.sin(angle) + 0.3 * chance.normal();
        return { ...mark, pointId: "tip", x, y, u: 0.3 };
      });
    const base = withShot({ marks: [...SHOT.marks, ...tip] });
    return {
      ...base,
      points: [...SESSION.points, { id: "tip", name: "rod tip", on: "rod", airframeId: null, body: null }],
    };
  }

  it("agrees with the rod's tip where it falls behind at release", () => {
    const result = measured(withRod(0));
    const [check] = result.measurement!.releaseChecks;
    const release = value(result, "releaseTime");
    expect(check!.by).toBe("separation");
    expect(Math.abs(check!.clipS.value - release.value)).toBeLessThan(
      3 * Math.hypot(check!.clipS.u, release.u),
    );
    expect(codes(result)).not.toContain(ofShot("release-separation"));
  });

  it("says so when the rod's tip falls behind 8 ms later", () => {
    expect(codes(measured(withRod(0.008)))).toContain(ofShot("release-separation"));
  });

  it("compares a release said by the person with the one in the motion", () => {
    const rate = SHOT.clock?.kind === "capture-rate" ? SHOT.clock.captureRateHz.value : 0;
    const frame = (PLAIN.measurement!.releaseClipS - 0.006) * rate;
    const result = measured(withShot({ release: { by: "person", frame, uFrames: 0.5 } }));
    expect(result.measurement!.releaseChecks[0]!.by).toBe("change-point");
    expect(codes(result)).toContain(ofShot("release-change-point"));
  });
});

describe("createMeasurer", () => {
  it("gives quickly, after one mark moved, what the full measurement gives, within a small part of u", () => {
    const measurer = createMeasurer();
    const before = withShot({});
    measurer.full(before, SHOT.id, null);
    const moved = withShot({
      marks: SHOT.marks.map((mark, i) => (i === 180 ? { ...mark, x: mark.x + 1.2 } : mark)),
    });
    const [quick, full] = [measurer.quick(moved, SHOT.id, null), measured(moved)];
    for (const name of ["releaseSpeed", "peakAcceleration", "pitchRateAtRelease", "launchAngle"] as const) {
      const [a, b] = [value(quick, name), value(full, name)];
      expect(Math.abs(a.value - b.value), name).toBeLessThan(0.3 * b.u);
      expect(a.u / b.u, name).toBeGreaterThan(0.75);
      expect(a.u / b.u, name).toBeLessThan(1.3);
    }
  });

  it("measures in full when more than marks changed", () => {
    const measurer = createMeasurer();
    measurer.full(withShot({}), SHOT.id, null);
    const scale = { ...SHOT.scale!, rodM: { value: 1.02, u: 0.01 } };
    const quick = measurer.quick(withShot({ scale }), SHOT.id, null);
    expect(quick).toEqual(measured(withShot({ scale })));
  });

  it("predicts again when the points that the airframe balances on changed", () => {
    const measurer = createMeasurer();
    measurer.full(SESSION, SHOT.id, null);
    const { fromPointId } = firstOf(SESSION).airframe.centreOfGravity!;
    const points = SESSION.points.map((point) =>
      point.id === fromPointId ? { ...point, on: "rod" as const } : point,
    );
    const result = measurer.full({ ...SESSION, points }, SHOT.id, null);
    expect(result).toEqual(measureShot({ ...SESSION, points }, SHOT.id, null));
    expect(codes(result)).toContain(ofShot("impossible-input"));
  });

  it("throws RangeError for a shot that is not there", () => {
    expect(() => createMeasurer().quick(SESSION, "nobody", null)).toThrow(/no shot "nobody"/);
  });
});
