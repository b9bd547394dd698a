import { describe, expect, it } from "vitest";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import type { Prediction } from "../../../../src/shared/results/shot-result.ts";
import type { ElasticLauncher, Session, Shot } from "../../../../src/shared/session/schema.ts";
import { SessionSchema } from "../../../../src/shared/session/schema.ts";
import { ofShot } from "../../../support/notice-codes.ts";
import { oneOfEach } from "../../../support/one-of-each.ts";
import { calmShot, elasticSession, exactly, LINE } from "../../predict/elastic-line.ts";

function predicted(session: Session, shot: Shot = calmShot()): Prediction {
  const { prediction, notices } = predictShot(session, shot);
  if (prediction === null) throw new Error(JSON.stringify(notices));
  return prediction;
}
const notices = (launcher: Partial<ElasticLauncher>) =>
  predictShot(elasticSession(launcher), calmShot()).notices;
const refusal = (launcher: Partial<ElasticLauncher>) =>
  notices(launcher).find(({ level }) => level === "refusal");

describe("predictShot of an elastic line", () => {
  it("is of a session the schema takes", () => {
    const session = { ...elasticSession(), shots: [calmShot()] };
    expect(SessionSchema.parse(session)).toEqual(session);
  });

  it("gives the model's numbers, with u = 0 when every input is exact", () => {
    const { quantities, storedEnergyJ } = predicted(elasticSession());
    // scipy 1.10.1, solve_ivp and PchipInterpolator on the same tables
    expect(quantities.releaseSpeed).toMatchObject({
      value: expect.closeTo(25.0490502661, 8),
      u: 0,
      unit: "m/s",
    });
    expect(quantities.releaseTime).toMatchObject({ value: expect.closeTo(0.3484831235, 8), u: 0 });
    expect(quantities.meanPushAcceleration!.value * quantities.pushTime!.value).toBeCloseTo(
      0.96 * quantities.releaseSpeed!.value,
      9,
    );
    expect(quantities.pushTime!.value).toBeLessThan(0.95 * 0.3484831235);
    expect(quantities.stroke!.value).toBeCloseTo(5.5, 12);
    expect(quantities.peakAcceleration!.value).toBeCloseTo(117.548395, 6);
    expect(storedEnergyJ).toEqual({ value: expect.closeTo(312.2963834577, 8), u: 0 });
    expect(quantities.releaseSpeed!.how).not.toMatch(/upper bound/);
  });

  it("gives curves from letting go to release at 0", () => {
    const { curves, quantities } = predicted(elasticSession());
    expect(curves.timeS[0]).toBeCloseTo(-quantities.releaseTime!.value, 12);
    expect(curves.timeS.at(-1)).toBe(0);
    expect([curves.position[0], curves.speed[0]]).toEqual([0, 0]);
    expect(curves.position.at(-1)).toBeCloseTo(5.5, 9);
    expect(curves.speed.at(-1)).toBeCloseTo(quantities.releaseSpeed!.value, 9);
    expect(curves.acceleration[0]).toBeCloseTo(quantities.peakAcceleration!.value, 9);
  });

  it("carries the common scale of the table and the mass to the speed as their powers of one half", () => {
    // ½ M v² = s E − (weight and friction): without those, u(v)/v = ½ u(s)/s; with no line
    // mass or carriage, ½ u(m)/m.
    const bare = {
      angleRad: exactly(0),
      slidingN: exactly(0),
      lineMassKg: exactly(0),
      carriageKg: exactly(0),
    };
    const scaled = predicted(elasticSession({ ...bare, forceScale: { value: 1, u: 0.02 } })).quantities;
    expect(scaled.releaseSpeed!.u / scaled.releaseSpeed!.value).toBeCloseTo(0.01, 5);
    const heavy = predicted(elasticSession(bare, { massKg: { value: 0.662, u: 0.00662 } })).quantities;
    expect(heavy.releaseSpeed!.u / heavy.releaseSpeed!.value).toBeCloseTo(0.005, 5);
    expect(heavy.peakAcceleration!.u / heavy.peakAcceleration!.value).toBeCloseTo(0.01, 5);
  });

  it("takes a draw at the end of its table with an uncertainty that reaches beyond it", () => {
    const { quantities } = predicted(elasticSession({ drawM: { value: 6, u: 0.05 } }));
    expect(quantities.releaseSpeed!.u).toBeGreaterThan(0);
  });

  it("lets the mass act on speed and stall together in the stall margin", () => {
    const wing = {
      wingAreaM2: exactly(0.142),
      liftCoefficientMax: exactly(1.15),
      massKg: { value: 0.662, u: 0.02 },
    };
    const { releaseSpeed, stallSpeed, stallMargin } = predicted(elasticSession({}, wing)).quantities;
    const relative = (one: { value: number; u: number } | undefined) => one!.u / one!.value;
    // heavier is slower and stalls faster: the parts add, not as squares
    expect(relative(stallMargin)).toBeCloseTo(relative(releaseSpeed) + relative(stallSpeed), 4);
  });

  it("says what is drawn in, given back and lost, and warns of whip and catch", () => {
    const told = notices({});
    expect(told.find(({ code }) => code === "elastic-energy")!.cause).toBe(
      "Drawing the line out takes 377.628 ± 0 J; it gives back 312.296 ± 0 J, and 17 % stays in it as heat.",
    );
    const whip = told.find(({ code }) => code === "elastic-whip")!;
    expect(`${whip.cause} ${whip.remedy}`).toMatch(
      /breaks or slips its anchor.*eye protection.*out of line.*maker's rating, local codes/,
    );
    expect(told.map(({ code }) => code)).toEqual(
      expect.arrayContaining([ofShot("elastic-hold"), ofShot("people-down-range")]),
    );
    for (const { cause, remedy } of told) expect(`${cause} ${remedy}`).not.toMatch(/\bsafe\b|pipe or vessel/);
  });

  it("without an unloading table calls its speed an upper bound, in the result and in a warning", () => {
    const session = elasticSession({ unloading: null });
    expect(predicted(session).quantities.releaseSpeed!.how).toMatch(/upper bound/);
    expect(predicted(session).quantities.releaseSpeed!.value).toBeGreaterThan(25.049);
    expect(notices({ unloading: null })).toContainEqual(
      expect.objectContaining({ level: "warning", code: ofShot("elastic-no-unloading") }),
    );
  });

  it("says when the unloading table was let in from a longer draw", () => {
    expect(notices({ drawM: exactly(4) }).map(({ code }) => code)).toContain(ofShot("elastic-longer-draw"));
    expect(notices({}).map(({ code }) => code)).toContain(ofShot("elastic-longer-draw")); // 5.5 m of 6 m
    expect(notices({ drawM: exactly(5.9) }).map(({ code }) => code)).not.toContain(
      ofShot("elastic-longer-draw"),
    );
  });

  it.each([
    ["6.4 m for the draw", { drawM: exactly(6.4) }, "at most 6 m, where the loading table ends"],
    [
      "the extension at point 3 of the loading table",
      {
        loading: [
          [0, 0],
          [1, 5],
          [0.9, 7],
          [6, 60],
        ] as const,
      },
      "above 1 m, the one before it",
    ],
    [
      "the force at point 2 of the unloading table",
      {
        unloading: [
          [0, 0],
          [6, -2],
        ] as const,
      },
      "launchers[0].unloading[1][1]",
    ],
  ])("refuses %s, saying what would do", (field, launcher, need) => {
    const told = refusal(launcher as unknown as Partial<ElasticLauncher>)!;
    expect(told.code).toBe(ofShot("impossible-input"));
    expect(told.cause).toContain(field);
    expect(told.remedy).toContain(need);
  });

  it("refuses a line that never moves, stops on the way, or gives back more than it took", () => {
    expect(refusal({ slidingN: exactly(200) })).toMatchObject({ code: ofShot("never-moves") });
    expect(refusal({ slidingN: exactly(80) })).toMatchObject({ code: ofShot("stalls") });
    expect(refusal({ loading: LINE.unloading!, unloading: LINE.loading })).toMatchObject({
      code: ofShot("elastic-gives-back-more"),
    });
  });

  it("asks for the mass, with the cautions", () => {
    const told = predictShot(elasticSession({}, { massKg: null }), calmShot()).notices.map(
      ({ code }) => code,
    );
    expect(told).toEqual([
      ofShot("no-airframe-mass"),
      ofShot("elastic-whip"),
      ofShot("elastic-hold"),
      ofShot("elastic-carriage"),
      ofShot("people-down-range"),
    ]);
  });
});

describe("predictShot of a throw by hand", () => {
  it("says nothing and asks for nothing", () => {
    const session = oneOfEach({
      ...elasticSession(),
      launcher: { kind: "no-model", name: "by hand" } as const,
    });
    expect(predictShot(session, calmShot())).toEqual({ prediction: null, notices: [] });
  });
});
