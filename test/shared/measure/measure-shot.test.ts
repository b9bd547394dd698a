import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { exampleTruth } from "../../../src/main/example/example-truth.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { HEADLINES, type QuantityName, type ShotResult } from "../../../src/shared/results/shot-result.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import type { Mark, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

const SESSION = exampleSession(1);
const SHOT = SESSION.shots[0]!;
const withShot = (patch: Partial<Shot>): Session => ({ ...SESSION, shots: [{ ...SHOT, ...patch }] });
const measured = (session: Session): ShotResult => measureShot(session, SHOT.id, null);
const codes = (result: ShotResult) => result.notices.map((notice) => `${notice.level} ${notice.code}`);
const results = (result: ShotResult) => result.measurement!.quantities;
const DEGREE = Math.PI / 180;

describe("measureShot on the example launch", () => {
  it("holds the truth within 2 u in at least 17 of 20 seeds, and within 0.7 %, 7 %, 4 °/s and 0.5° in all but one", () => {
    const truth = exampleTruth().shots[0]!.quantities;
    const limit: Record<(typeof HEADLINES)[number], number> = {
      releaseSpeed: 0.007 * truth.releaseSpeed!.value,
      peakAcceleration: 0.07 * truth.peakAcceleration!.value,
      pitchRateAtRelease: 4 * DEGREE,
      launchAngle: 0.5 * DEGREE,
    };
    const inside = new Map<string, number>();
    const near = new Map<string, number>();
    for (let seed = 1; seed <= 20; seed++) {
      const quantities = results(measured(exampleSession(seed)));
      for (const name of HEADLINES) {
        const { value, u } = quantities[name]!;
        const error = Math.abs(value - truth[name]!.value);
        inside.set(name, (inside.get(name) ?? 0) + (error <= 2 * u ? 1 : 0));
        near.set(name, (near.get(name) ?? 0) + (error <= limit[name] ? 1 : 0));
      }
    }
    for (const name of HEADLINES) {
      expect(inside.get(name), `${name} within 2 u`).toBeGreaterThanOrEqual(17);
      expect(near.get(name), `${name} within its limit`).toBeGreaterThanOrEqual(19);
    }
  });

  it("gives each headline a budget whose squares add up to its u", () => {
    const { quantities, budget } = measured(SESSION).measurement!;
    for (const name of HEADLINES) {
      const lines = budget[name]!;
      expect(Math.hypot(...lines.map((line) => line.u))).toBeCloseTo(quantities[name]!.u, 12);
      expect(lines[0]!.source).toBe("marks");
    }
    const sources = (name: QuantityName) => budget[name]!.map((line) => line.source);
    expect(sources("releaseSpeed")).toEqual(expect.arrayContaining(["scale", "clock", "centre of gravity"]));
    expect(sources("launchAngle")).toEqual(expect.arrayContaining(["plumb", "centre of gravity"]));
  });

  it("scales as the rod does: 1 % more length is 1 % more speed and acceleration, the same angles", () => {
    const scale = SHOT.scale!;
    const longer = withShot({ scale: { ...scale, rodM: { ...scale.rodM, value: 1.01 * scale.rodM.value } } });
    const [a, b] = [results(measured(SESSION)), results(measured(longer))];
    // gravity and the air's prior do not scale with the rod: agreement to a tenth of u, not to rounding
    expect(Math.abs(b.releaseSpeed!.value / a.releaseSpeed!.value - 1.01)).toBeLessThan(
      (0.1 * a.releaseSpeed!.u) / 13,
    );
    expect(Math.abs(b.launchAngle!.value - a.launchAngle!.value)).toBeLessThan(0.1 * a.launchAngle!.u);
  });

  it("gives the same results for the picture seen from the other side, flying left", () => {
    const flip = ([x, y]: readonly [number, number]): [number, number] => [1920 - x, y];
    const mirrored = withShot({
      direction: "left",
      scale: { ...SHOT.scale!, a: flip(SHOT.scale!.a), b: flip(SHOT.scale!.b) },
      plumb: { ...SHOT.plumb!, top: flip(SHOT.plumb!.top), bottom: flip(SHOT.plumb!.bottom) },
      marks: SHOT.marks.map((mark) => ({ ...mark, x: 1920 - mark.x })),
    });
    const [a, b] = [results(measured(SESSION)), results(measured(mirrored))];
    for (const name of [...HEADLINES, "pitchAtRelease", "releaseTime"] as const) {
      expect(b[name]!.value, name).toBeCloseTo(a[name]!.value, 6);
    }
  });

  it("draws its curves on one axis from before motion to the last mark, release at zero", () => {
    const { curves, releaseClipS, startClipS } = measured(SESSION).measurement!;
    expect(curves.timeS[0]).toBeLessThan(startClipS - releaseClipS);
    expect(curves.timeS.at(-1)).toBeGreaterThan(0.04);
    for (const curve of [
      curves.position,
      curves.speed,
      curves.acceleration,
      curves.pitch,
      curves.pitchRate,
    ]) {
      expect(curve.value).toHaveLength(curves.timeS.length);
      expect(curve.u.every((u) => u >= 0 && Number.isFinite(u))).toBe(true);
    }
  });

  it("puts a residual where a mark was moved: 3 px right and 2 px up show as such", () => {
    const at = SHOT.marks.findIndex((mark) => mark.frame === 90);
    const moved = SHOT.marks.map((mark, i) => (i === at ? { ...mark, x: mark.x + 3, y: mark.y - 2 } : mark));
    const residual = (session: Session) =>
      measured(session).measurement!.residuals.find(
        (one) => one.frame === 90 && one.pointId === SHOT.marks[at]!.pointId,
      )!;
    const [before, after] = [residual(SESSION), residual(withShot({ marks: moved }))];
    expect(after.dxPx - before.dxPx).toBeCloseTo(3, 0);
    expect(after.dyPx - before.dyPx).toBeCloseTo(-2, 0);
    expect(codes(measured(withShot({ marks: moved })))).toContain(ofShot("warning marks-set-aside"));
  });
});

describe("measureShot when something is missing", () => {
  it("refuses without clock or scale, and says what to do", () => {
    const result = measured(withShot({ clock: null, scale: null }));
    expect(result.measurement).toBeNull();
    expect(codes(result)).toEqual(
      expect.arrayContaining([ofShot("refusal no-clock"), ofShot("refusal no-scale")]),
    );
    expect(result.prediction).not.toBeNull();
  });

  it("refuses timestamps that nobody read, and a scale picked on one spot", () => {
    const clock = { kind: "timestamps", rateError: { value: 0, u: 0 } } as const;
    expect(codes(measured(withShot({ clock })))).toContain(ofShot("refusal no-timestamps"));
    const scale = { ...SHOT.scale!, b: SHOT.scale!.a };
    expect(codes(measured(withShot({ scale })))).toContain(ofShot("refusal scale-too-close"));
  });

  it("measures without plumb, and doubts every angle by a degree", () => {
    const result = measured(withShot({ plumb: null }));
    expect(codes(result)).toContain(ofShot("warning no-plumb"));
    expect(results(result).launchAngle!.u).toBeGreaterThan(DEGREE);
    expect(results(result).releaseSpeed!.u).toBeCloseTo(results(measured(SESSION)).releaseSpeed!.u, 4);
  });

  it("takes the middle of the two points for a centre of gravity that is not given", () => {
    const session = oneOfEach({
      ...SESSION,
      airframe: { ...firstOf(SESSION).airframe, centreOfGravity: null },
    });
    const result = measured(session);
    expect(codes(result)).toContain(ofShot("warning no-centre-of-gravity"));
    const line = result.measurement!.budget.launchAngle!.find((one) => one.source === "centre of gravity");
    expect(line!.u).toBeGreaterThan(0);
  });

  it("refuses too few frames, one point only, and a thing that does not move, each with its own words", () => {
    const only = (keep: (mark: Mark) => boolean) =>
      codes(measured(withShot({ marks: SHOT.marks.filter(keep) })));
    const first = SHOT.marks[0]!;
    expect(only((mark) => mark.frame < first.frame + 8)).toContain(ofShot("refusal too-few-frames"));
    expect(only((mark) => mark.pointId === first.pointId)).toContain(ofShot("refusal no-axis"));
    expect(only((mark) => mark.frame < first.frame + 20)).toContain(ofShot("refusal no-motion"));
    expect(only((mark) => mark.frame < first.frame + 38)).toContain(ofShot("refusal no-flight"));
  });

  it("says where the push carries no marks, and nothing of the kind where it does", () => {
    const { releaseClipS, captureRateHz } = measured(SESSION).measurement!;
    const release = Math.round(releaseClipS * captureRateHz!.value);
    const without = (from: number, to: number) =>
      measured(withShot({ marks: SHOT.marks.filter(({ frame }) => frame < from || frame > to) })).notices;
    expect(measured(SESSION).notices).not.toContainEqual(
      expect.objectContaining({ code: ofShot("push-unmarked") }),
    );
    expect(without(release - 7, release + 6)).toContainEqual(
      expect.objectContaining({
        code: ofShot("push-unmarked"),
        cause: expect.stringContaining(
          `Frames ${release - 7} to ${release + 6}, which hold the end of the push`,
        ),
      }),
    );
    expect(without(release - 30, release - 20)).toContainEqual(
      expect.objectContaining({ cause: expect.stringContaining("which hold a part of the push") }),
    );
  });

  it("says in which frames nose and tail are marked for each other; swapping them back is as if they never were", () => {
    const frames = [SHOT.marks[0]!.frame, 90, 91, 92];
    const [nose, tail] = SESSION.points.filter(({ on }) => on === "airframe").map(({ id }) => id);
    const swaps = frames.map((frame) => ({ frame, pointIds: [nose!, tail!] as const }));
    const spoilt = applyEdit(SESSION, { kind: "swap-marks", shotId: SHOT.id, swaps });
    const result = measured(spoilt);
    expect(result.notices.find(({ code }) => code === "marks-swapped")).toMatchObject({
      about: "marks",
      level: "warning",
      cause: `Two points seem to be marked for each other: ${nose} and ${tail} in frames ${frames[0]} and 90 to 92. These marks were left out.`,
    });
    expect(codes(result)).not.toContain(ofShot("warning marks-set-aside"));
    expect(result.measurement!.swapped).toEqual(swaps);
    const back = applyEdit(spoilt, {
      kind: "swap-marks",
      shotId: SHOT.id,
      swaps: result.measurement!.swapped!,
    });
    expect(back).toEqual(SESSION);
    expect(measured(SESSION).measurement!.swapped).toBeUndefined();
  });

  it("says when the airframe flies the other way than the shot says", () => {
    const result = measured(withShot({ direction: "left" }));
    expect(codes(result)).toContain(ofShot("warning against-direction"));
    expect(result.notices.find(({ code }) => code === "against-direction")).toMatchObject({
      cause: expect.stringContaining("flies to the right in the picture"),
      remedy: "Under Clip, choose that the airframe flies to the right.",
    });
    expect(codes(measured(SESSION))).not.toContain(ofShot("warning against-direction"));
  });

  it("names marks beyond the end of the clip and measures without them", () => {
    const facts = { pts: Array.from({ length: 170 }, (_, i) => i), timeBase: [1, 30] } as never;
    const result = measureShot(SESSION, SHOT.id, facts);
    expect(codes(result)).toContain(ofShot("warning marks-beyond-clip"));
    expect(result.measurement).not.toBeNull();
  });

  it("throws RangeError for a shot that is not there", () => {
    expect(() => measureShot(SESSION, "nobody", null)).toThrow(/no shot "nobody"/);
  });
});

describe("margins of a measured shot", () => {
  it("puts the load limit and the stall in words with their numbers", () => {
    const limited = oneOfEach({
      ...SESSION,
      airframe: { ...firstOf(SESSION).airframe, loadLimitG: { value: 15, u: 1 } },
    });
    expect(codes(measured(limited))).toContain(ofShot("danger load-limit"));
    const heavy = oneOfEach({
      ...SESSION,
      airframe: { ...firstOf(SESSION).airframe, wingAreaM2: { value: 0.01, u: 0.001 } },
    });
    expect(codes(measured(heavy))).toContain(ofShot("danger below-stall"));
    expect(
      codes(measured(SESSION)).filter((code) => code.includes("load") || code.includes("stall")),
    ).toEqual([]);
  });

  it("has stall margin = airspeed / stall speed, the headwind along the path added", () => {
    const windy = withShot({ conditions: { ...SHOT.conditions, headwindMPerS: { value: 3, u: 0.5 } } });
    const { stallMargin, stallSpeed, releaseSpeed, launchAngle } = results(measured(windy));
    const air = Math.hypot(
      releaseSpeed!.value * Math.cos(launchAngle!.value) + 3,
      releaseSpeed!.value * Math.sin(launchAngle!.value),
    );
    expect(stallMargin!.value).toBeCloseTo(air / stallSpeed!.value, 12);
    expect(stallMargin!.u / stallMargin!.value).toBeGreaterThan(stallSpeed!.u / stallSpeed!.value);
  });
});
