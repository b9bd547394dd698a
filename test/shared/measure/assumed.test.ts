import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { CAMERA_PLAN_DEFAULTS } from "../../../src/shared/camera-plan/plan-input.ts";
import { PLANNED_SHOT_ID, plannedSession } from "../../../src/shared/camera-plan/planned-shot.ts";
import { plannedView } from "../../../src/shared/camera-plan/planned-view.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { type BudgetLine, HEADLINES, type QuantityName } from "../../../src/shared/results/shot-result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

const EXAMPLE = exampleSession(1);
const [FIRST] = EXAMPLE.shots as [Shot];
const FACTS = variantFacts("plain");
const PICTURE = { ...FACTS, pts: Array.from({ length: 1000 }, (_, frame) => frame) };
const withShot = (patch: Partial<Shot>): Session => ({ ...EXAMPLE, shots: [{ ...FIRST, ...patch }] });

function measured(session: Session) {
  const { measurement, notices } = measureShot(session, FIRST.id, FACTS);
  const lineOf = (name: QuantityName, source: BudgetLine["source"]) => {
    const line = measurement!.budget[name]?.find((one) => one.source === source);
    const share = (line?.u ?? 0) / Math.abs(measurement!.quantities[name]!.value);
    return { share, assumed: line?.assumed === true };
  };
  return { measurement: measurement!, lineOf, codes: notices.map(({ code }) => code) };
}

const EXACT_ROD = { ...FIRST.scale!, uPx: 0.02, rodM: { value: 1, u: 0 } };
const EXACT_RATE = { kind: "capture-rate", captureRateHz: { value: 960, u: 0 } } as const;

describe("an uncertainty that nobody stated", () => {
  it("of a rod's length is a thousandth of it, stands in the budget as assumed and asks to be replaced", () => {
    const left = measured(withShot({ scale: EXACT_ROD }));
    expect(left.lineOf("releaseSpeed", "scale").share).toBeCloseTo(0.001, 5);
    expect(left.lineOf("releaseSpeed", "scale").assumed).toBe(true);
    expect(left.codes).toContain(ofShot("rod-u-assumed"));
    const said = measured(withShot({ scale: { ...EXACT_ROD, rodM: { value: 1, u: 2e-4 } } }));
    expect(said.lineOf("releaseSpeed", "scale").share).toBeCloseTo(2e-4, 5);
    expect(said.lineOf("releaseSpeed", "scale").assumed).toBe(false);
    expect(said.codes).not.toContain(ofShot("rod-u-assumed"));
  });

  it("of one rod among two is in the combination", () => {
    const { measurement } = measured(
      withShot({ scale: EXACT_ROD, rods: [{ ...EXACT_ROD, rodM: { value: 1, u: 0.001 } }] }),
    );
    expect(measurement.scale.u / measurement.scale.value).toBeCloseTo(0.001 / Math.SQRT2, 5);
  });

  it("of a capture rate is 0.2 %, twice that of an acceleration", () => {
    const left = measured(withShot({ clock: EXACT_RATE }));
    expect(left.lineOf("releaseSpeed", "clock").share).toBeCloseTo(0.002, 4);
    expect(left.lineOf("peakAcceleration", "clock").share).toBeCloseTo(0.004, 3);
    expect(left.lineOf("releaseSpeed", "clock").assumed).toBe(true);
    expect(left.measurement.captureRateHz!.u).toBeCloseTo(1.92, 9);
    expect(left.codes).toContain(ofShot("rate-u-assumed"));
    const said = measured(withShot({ clock: { ...EXACT_RATE, captureRateHz: { value: 960, u: 0.1 } } }));
    expect(said.lineOf("releaseSpeed", "clock").assumed).toBe(false);
    expect(said.codes).not.toContain(ofShot("rate-u-assumed"));
  });

  it("of the file's own clock is 0.01 %", () => {
    const clock = { kind: "timestamps", rateError: { value: 0, u: 0 } } as const;
    const session = withShot({ clock });
    const { setUp, notices } = measuringSetUp(filmedShot(session, session.shots[0]!), FACTS);
    expect(setUp!.clock.clock.relativeU).toBe(1e-4);
    expect(notices.map(({ code }) => code)).toContain(ofShot("rate-u-assumed"));
  });

  it("of how far the flight was from the rod's plane is 10 mm, seen from as far as the picture is wide", () => {
    const { setting: _setting, ...bare } = FIRST as Shot & { setting?: unknown };
    const left = measured({ ...EXAMPLE, shots: [bare] });
    const scale = left.measurement.scale.value;
    expect(left.lineOf("releaseSpeed", "plane").share).toBeCloseTo(0.01 / (scale * 1920), 5);
    expect(left.lineOf("releaseSpeed", "plane").assumed).toBe(true);
    expect(left.codes).toContain(ofShot("off-plane-assumed"));
    const withLens = exampleSession(1, "lens");
    const { measurement } = measureShot(withLens, withLens.shots[0]!.id, FACTS);
    const { focalPx } = withLens.cameras[0]!.lens!;
    const line = measurement!.budget.releaseSpeed!.find(({ source }) => source === "plane")!;
    const share = line.u / measurement!.quantities.releaseSpeed!.value;
    expect(share / (0.01 / (measurement!.scale.value * focalPx))).toBeCloseTo(1, 2);
  });

  it("of that distance is what was said of it, once something was", () => {
    const setting = {
      distanceM: { value: 5, u: 0.1 },
      nearerM: { value: 0, u: 0.002 },
      turnRad: { value: 0, u: 0 },
    };
    const said = measured(withShot({ setting }));
    expect(said.lineOf("releaseSpeed", "plane").share).toBeCloseTo(0.002 / 5, 5);
    expect(said.lineOf("releaseSpeed", "plane").assumed).toBe(false);
    expect(said.codes).not.toContain(ofShot("off-plane-assumed"));
  });

  it("of the vertical, the balance point and a lens before known points stands as assumed too", () => {
    expect(measured(withShot({ plumb: null })).lineOf("launchAngle", "plumb").assumed).toBe(true);
    expect(measured(EXAMPLE).lineOf("launchAngle", "plumb").assumed).toBe(false);
    const bare = oneOfEach({ ...EXAMPLE, airframe: { ...firstOf(EXAMPLE).airframe, centreOfGravity: null } });
    expect(measured(bare).lineOf("launchAngle", "centre of gravity").assumed).toBe(true);
  });
});

describe("what a plan promises", () => {
  const motion = unwrap(expectedMotion(CAMERA_PLAN_DEFAULTS.shot));
  const planned = (seed: number, plan = CAMERA_PLAN_DEFAULTS) =>
    plannedSession(plan, motion, plannedView(plan, motion), seed, "marks");
  /** The same shot by a person who typed no uncertainty that can be left out, nor where the flight was. */
  function bare(session: Session): Session {
    const [{ setting: _setting, ...shot }] = session.shots as [Shot];
    const captureRateHz = { value: CAMERA_PLAN_DEFAULTS.captureRateHz.value, u: 0 };
    return {
      ...session,
      shots: [
        {
          ...shot,
          clock: { kind: "capture-rate", captureRateHz },
          scale: { ...shot.scale!, rodM: { ...shot.scale!.rodM, u: 0 } },
        },
      ],
    };
  }

  it.each([1, 2, 3])("is no smaller than what the same set-up states with nothing typed, seed %i", (seed) => {
    const session = planned(seed);
    const [promised, stated] = [session, bare(session)].map(
      (one) => measureShot(one, PLANNED_SHOT_ID, PICTURE).measurement!.quantities,
    );
    for (const name of HEADLINES) {
      expect(stated![name]!.u / promised![name]!.u, name).toBeGreaterThan(0.999);
    }
  });

  it("holds for a camera that stands nearer, as long as it sees no wider than it is far", () => {
    const near = { ...CAMERA_PLAN_DEFAULTS, distanceM: 2.6 };
    const [promised, stated] = [planned(1, near), bare(planned(1, near))].map(
      (one) => measureShot(one, PLANNED_SHOT_ID, PICTURE).measurement!.quantities.releaseSpeed!,
    );
    expect(stated!.u / promised!.u).toBeGreaterThan(0.999);
  });
});
