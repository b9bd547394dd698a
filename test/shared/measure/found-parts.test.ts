import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { clockChecksOf } from "../../../src/shared/measure/clock-checks.ts";
import { clockInUse } from "../../../src/shared/measure/clock-in-use.ts";
import { withFoundParts } from "../../../src/shared/measure/found-parts.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { partsSay } from "../../../src/shared/measure/part-words.ts";
import { checksOfRate } from "../../../src/shared/measure/rate-in-use.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Clock, Mark, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";

const EXAMPLE = exampleSession(1);
const [SHOT] = EXAMPLE.shots as [Shot];
type ByRate = Extract<Clock, { kind: "capture-rate" }>;
const CLOCK = SHOT.clock as ByRate;

/** The launch as a camera shows it that took every 8th frame before 96 and after 144. */
const PHONE_MARKS: Mark[] = SHOT.marks.flatMap((mark) => {
  if (mark.frame >= 96 && mark.frame <= 144) return [{ ...mark, frame: mark.frame - 84 }];
  if (mark.frame % 8 !== 0) return [];
  return [{ ...mark, frame: mark.frame < 96 ? mark.frame / 8 : 60 + (mark.frame - 144) / 8 }];
});
const phone = (clock: Clock): Shot => ({ ...SHOT, marks: PHONE_MARKS, clock });
const measured = (shot: Shot) => measureShot({ ...EXAMPLE, shots: [shot] }, shot.id, null);
const codes = (shot: Shot) => measured(shot).notices.map(({ code }) => code);
const found = (clock: Clock, facts = variantFacts("plain")) => {
  const { borders } = measuringSetUp(
    filmedShot({ ...EXAMPLE, shots: [phone(clock)] }, phone(clock)),
    clock.kind === "timestamps" ? facts : null,
  );
  return { borders: borders!, clock: withFoundParts(clock, borders!, facts) };
};
const STATED: ByRate = {
  ...CLOCK,
  captureRateHz: { value: 120, u: 0.3 },
  parts: [
    { from: { value: 12, u: 0.05 }, captureRateHz: CLOCK.captureRateHz },
    { from: { value: 60, u: 0.05 }, captureRateHz: { value: 120, u: 0.3 } },
  ],
};

describe("a clip with more than one capture rate", () => {
  it("is refused while its clock states one, and gives the borders and rates that the motion implies", () => {
    expect(measured(phone(CLOCK)).measurement).toBeNull();
    expect(codes(phone(CLOCK))).toContain(ofShot("motion-shows-parts"));
    const { borders, clock } = found(CLOCK);
    expect(borders).toHaveLength(2);
    const [first, second] = clock!.parts!;
    for (const [part, border] of [
      [first!, 12],
      [second!, 60],
    ] as const) {
      expect(Math.abs(part.from.value - border)).toBeLessThan(3 * part.from.u);
      expect(part.from.u).toBeLessThan(0.1);
    }
    expect(first!.captureRateHz).toEqual(CLOCK.captureRateHz); // the fastest part is what was stated
    for (const outer of [clock!.captureRateHz, second!.captureRateHz]) {
      expect(Math.abs(outer.value - 120)).toBeLessThan(3 * outer.u);
      expect(outer.u).toBeLessThan(8);
    }
  });

  it("measures as the clip of one rate does, once its parts are stated, and carries their u", () => {
    const truth = measured(SHOT).measurement!.quantities.releaseSpeed!;
    const { measurement, notices } = measured(phone(STATED));
    expect(notices.map(({ code }) => code)).not.toContain(ofShot("motion-shows-parts"));
    const speed = measurement!.quantities.releaseSpeed!;
    expect(Math.abs(speed.value - truth.value)).toBeLessThan(2.5 * speed.u);
    expect(Math.abs(speed.value / truth.value - 1)).toBeLessThan(0.01);
    expect(measurement!.captureRateHz).toBeNull();
    expect(measurement!.clockParts!.map(({ from }) => from.value)).toEqual([0, 12, 60]);
    const vague = measured(
      phone({ ...STATED, parts: STATED.parts!.map((part) => ({ ...part, from: { ...part.from, u: 0.5 } })) }),
    ).measurement!.quantities.releaseSpeed!;
    expect(vague.u).toBeGreaterThan(1.2 * speed.u); // 1.8 m/s over half a slow frame of the flight's start
  });

  it("goes on, with a note, where the person says that the rate is as stated", () => {
    const one = phone({ ...CLOCK, ratesStand: true });
    expect(codes(one)).toContain(ofShot("rates-stand"));
    expect(codes(one)).not.toContain(ofShot("motion-shows-parts"));
  });

  it("hangs on the slowest part where the file was said to play in real time", () => {
    const facts = variantFacts("plain");
    const stamps: Clock = { kind: "timestamps", rateError: { value: 0, u: 1e-4 } };
    const { clock } = found(stamps, facts);
    const playsHz = facts.playbackRateHz;
    const rates = [clock!.captureRateHz, ...clock!.parts!.map((part) => part.captureRateHz)];
    expect(Math.min(...rates.map(({ value }) => value))).toBeCloseTo(playsHz, 6);
    expect(rates[1]!.value / playsHz).toBeGreaterThan(7);
  });

  it("is said in one sentence, and gives the strip and the tables the measurement's own clock", () => {
    expect(partsSay(STATED.captureRateHz, STATED.parts!)).toBe(
      "120.0 ± 0.3 frames/s to frame 12.00 ± 0.05, 959.9 ± 0.5 to frame 60.00 ± 0.05, then 120.0 ± 0.3",
    );
    const shot = phone(STATED);
    const clock = clockInUse(shot, null, measured(shot).measurement)!;
    expect(clock.timeOf(12)).toBeCloseTo(0.1, 9);
    expect(clock.timeOf(61) - clock.timeOf(60)).toBeCloseTo(1 / 120, 9);
  });

  it("counts a check for the part that it lies in, and none that lies across a border", () => {
    const lamp = { intervalS: { value: 0.05, u: 1e-5 }, frames: [13, 61] };
    const shot = { ...phone(STATED), lamp };
    const of = (one: Shot) => clockChecksOf(filmedShot({ ...EXAMPLE, shots: [one] }, one), null);
    expect(of(shot).checks).toEqual([]);
    expect(of(shot).notices.map(({ code }) => code)).toEqual([ofShot("lamp-over-border")]);
    const inside = { ...shot, lamp: { ...lamp, frames: [60, 66, 72, 78] } };
    const [check] = of(inside).checks;
    expect(check).toMatchObject({ kind: "lamp", statedHz: 120 });
    expect(Math.abs(check!.captureRateHz.value - 120)).toBeLessThan(5);
    expect(checksOfRate({ value: 120, u: 0.3 }, of(inside).checks, true)).toHaveLength(1);
    expect(checksOfRate(CLOCK.captureRateHz, of(inside).checks, true)).toEqual([]);
    expect(checksOfRate(CLOCK.captureRateHz, of(inside).checks, false)).toEqual([]);
    const elsewhere = [{ ...check!, statedHz: null }];
    expect(checksOfRate(CLOCK.captureRateHz, elsewhere, false)).toEqual(elsewhere); // a clip of one rate speaks of all
  });
});
