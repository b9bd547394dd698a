import { describe, expect, it } from "vitest";
import { highestPlace } from "../../../src/shared/launch/flight-after.ts";
import { speedFromApogee, terminalSpeed } from "../../../src/shared/launch/vertical/vertical-shot.ts";
import { altimeterCheck } from "../../../src/shared/measure/altimeter-check.ts";
import { STANDARD_GRAVITY as G } from "../../../src/shared/quantity/gravity.ts";
import type { Measured, Quantity, Unit } from "../../../src/shared/quantity/measured.ts";
import type { Measurement } from "../../../src/shared/results/shot-result.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { apogeeOf } from "../../reference/vertical-shot-forms.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { calmShot, elasticSession, exactly } from "../predict/elastic-line.ts";

const UP: Session = oneOfEach({
  ...elasticSession({}, { massKg: exactly(0.25) }),
  launcher: { kind: "no-model", name: "" },
});
const RHO = 101325 / (287.05 * 288.15);
const dragFor = (terminal: number) => (2 * 0.25 * G) / (RHO * terminal ** 2);
const withDrag = (drag: Measured): Session =>
  oneOfEach({ ...UP, airframe: { ...firstOf(UP).airframe, dragAreaM2: drag } });
const q = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });
const shot = (
  apogeeM: Measured,
  assumes: "standard" | "day" = "day",
  conditions: Partial<Shot["conditions"]> = {},
) => calmShot(conditions, { altimeter: { apogeeM, assumes } });
/** Only the results matter here. */
const filmed = (quantities: Measurement["quantities"]) => ({ quantities }) as Measurement;

const checked = (session: Session, one: Shot, measurement: Measurement | null) =>
  altimeterCheck(one.altimeter, launchInputs(session, one), measurement);

describe("altimeterCheck", () => {
  it("says nothing where no altimeter flew", () => {
    expect(checked(UP, calmShot(), null)).toEqual({ quantities: {}, notices: [] });
  });
  it("turns the apogee into the launch speed with drag, to first order where that holds", () => {
    const { quantities } = checked(withDrag(exactly(dragFor(80))), shot({ value: 120, u: 0.5 }), null);
    const speed = speedFromApogee(120, terminalSpeed(0.25, dragFor(80), RHO));
    expect(speed).toBeCloseTo(53.3354649, 6);
    expect(quantities.speedFromApogee).toMatchObject({ value: expect.closeTo(speed, 9), unit: "m/s" });
    const slope = (G * (1 + (speed / 80) ** 2)) / speed;
    expect(quantities.speedFromApogee!.u).toBeCloseTo(0.5 * slope, 4);
  });
  it("brings a standard altimeter's reading to the day's air, 5 % at 30 °C, and leaves one that knew the day", () => {
    const warm = { temperatureK: exactly(303.15) };
    const of = (assumes: "standard" | "day") =>
      checked(UP, shot(exactly(120), assumes, warm), null).quantities.speedFromApogee!.value;
    expect(of("standard")).toBeCloseTo(Math.sqrt(2 * G * 126.2467), 4);
    expect(of("day")).toBeCloseTo(48.5138743, 7);
  });
  it("takes draws where the result is skewed, and says the interval", () => {
    const area = dragFor(60);
    const doubtful = withDrag({ value: area, u: 0.45 * area });
    const told = () => checked(doubtful, shot({ value: 120, u: 2 }), null).quantities.speedFromApogee!;
    const ends = /from draws of the inputs, skewed: 95 % lie in ([\d.]+) to ([\d.]+) m\/s/.exec(told().how)!;
    expect(ends).not.toBeNull();
    const [low, high] = [Number(ends[1]), Number(ends[2])];
    expect(high - told().value).toBeGreaterThan(1.1 * (told().value - low)); // the longer tail is up
    // a climb without air is the floor: where a drawn drag area is below 0, none is taken
    expect(low).toBeGreaterThan(speedFromApogee(116, Infinity));
    expect(told()).toEqual(told()); // seeded
  });
  it("takes the rise of the push off the height, and the launch angle into account", () => {
    const angle = (84 * Math.PI) / 180;
    const body = { massKg: 0.25, airDensity: RHO, headwindMPerS: 0, dragAreaM2: dragFor(80) };
    const { heightM } = highestPlace({ ...body, speedMPerS: 45, angleRad: angle })!;
    const stroke = q(1.2, 0, "m");
    const told = checked(
      withDrag(exactly(dragFor(80))),
      shot(exactly(heightM + 1.2 * Math.sin(angle))),
      filmed({ stroke, launchAngle: q(angle, 0, "rad") }),
    ).quantities.speedFromApogee!;
    // the sine leaves out the bend of the path in the air: under half a per cent at 84°
    expect(told.value / 45).toBeCloseTo(1, 2);
  });
  it("agrees with footage of the same shot, and says by how many u", () => {
    const session = withDrag({ value: dragFor(60), u: 0 });
    const height = apogeeOf(50, 60).heightM;
    const check = (speed: Quantity) =>
      checked(session, shot({ value: height, u: 1 }), filmed({ releaseSpeed: speed }));
    const [agrees] = check(q(50.2, 0.3, "m/s")).notices;
    expect(agrees).toMatchObject({ level: "note", code: ofShot("altimeter-agrees") });
    expect(agrees!.cause).toMatch(
      /means release at 50\.0 ± 0\.3 m\/s; the footage says 50\.2 ± 0\.3 m\/s: they agree \(0\.4 times/,
    );
    const [differs] = check(q(47, 0.3, "m/s")).notices;
    expect(differs).toMatchObject({ level: "warning", code: ofShot("altimeter-differs") });
    expect(differs!.cause).toMatch(/they differ by 6\.\d times their combined uncertainty/);
    expect(differs!.remedy).toMatch(/capture rate and scale/);
  });
  it("without a drag area gives a lower bound, which faster footage does not contradict", () => {
    const height = apogeeOf(50, 60).heightM;
    const told = checked(UP, shot({ value: height, u: 0.5 }), filmed({ releaseSpeed: q(50, 0.2, "m/s") }));
    expect(told.quantities.speedFromApogee!.value).toBeLessThan(44);
    expect(told.quantities.speedFromApogee!.how).toMatch(/lower bound/);
    expect(told.notices[0]).toMatchObject({ level: "note", code: ofShot("altimeter-agrees") });
    expect(told.notices[0]!.cause).toMatch(/at least.*which it does not contradict/);
    const slower = checked(UP, shot({ value: height, u: 0.5 }), filmed({ releaseSpeed: q(40, 0.2, "m/s") }));
    expect(slower.notices[0]).toMatchObject({ level: "warning", code: ofShot("altimeter-differs") });
  });
  it("speaks alone where the clip gave nothing", () => {
    expect(checked(UP, shot({ value: 120, u: 1 }), null).notices[0]).toMatchObject({
      code: ofShot("altimeter-alone"),
    });
  });
  it("refuses what gives no speed, saying what would", () => {
    const code = (session: Session, one: Shot, measurement: Measurement | null = null) =>
      checked(session, one, measurement).notices.map((notice) => notice.code);
    const drag = withDrag(exactly(dragFor(60)));
    expect(
      code(oneOfEach({ ...drag, airframe: { ...firstOf(drag).airframe, massKg: null } }), shot(exactly(90))),
    ).toEqual([ofShot("altimeter-no-mass")]);
    expect(code(UP, shot(exactly(0)))).toEqual([ofShot("altimeter-too-low")]);
    expect(code(UP, shot(exactly(1)), filmed({ stroke: q(1.2, 0, "m") }))).toEqual([
      ofShot("altimeter-too-low"),
    ]);
    expect(code(withDrag(exactly(1e3)), shot(exactly(120)))).toEqual([ofShot("altimeter-too-high")]);
    expect(code(elasticSession(), shot(exactly(90)))).toEqual([ofShot("altimeter-not-vertical")]);
    expect(code(UP, shot(exactly(90)), filmed({ launchAngle: q(1.2, 0.01, "rad") }))).toEqual([
      ofShot("altimeter-not-vertical"),
    ]);
  });
});
