import { describe, expect, it } from "vitest";
import { nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import { predictLaunch, predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Quantity } from "../../../src/shared/quantity/measured.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { RamLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { shotsField } from "../../support/shots-field.ts";

const field = shotsField(1, [2.5e5, 4.5e5]).session;
const at = (gaugePa: number, id: string): Shot => ({
  ...field.shots[0]!,
  id,
  conditions: { ...field.shots[0]!.conditions, gaugePressurePa: { value: gaugePa, u: 0 } },
});
const launcher = firstOf(field).launcher as RamLauncher;
const sessionOf = (use: boolean, own: RamLauncher = launcher): Session =>
  oneOfEach({
    ...field,
    launcher: own,
    shots: [at(2.5e5, "low"), at(4.5e5, "high"), at(5.5e5, "beyond")],
    tuning: {
      parameters: ["openingS"],
      shotIds: ["low", "high"],
      heldOutShotIds: [],
      tuned: {
        values: [launcher.openingS],
        correlation: [[1]],
        undetermined: [],
        scatter: 0,
        shotCount: 2,
      },
      use,
    },
  });
const session = sessionOf(true);
const stated = sessionOf(false);
const CODE = ofShot("beyond-tested");
const speed = (one: Session, shot: Shot) => predictShot(one, shot).prediction!.quantities.releaseSpeed!;
const said = (one: Session, shot: Shot) => predictShot(one, shot).notices.find(({ code }) => code === CODE);

describe("a prediction by tuned values beyond the shots they come from", () => {
  it("says how far beyond the pressures, and is surer at none: 3 % for each factor e", () => {
    const beyond = session.shots[2]!;
    expect(said(session, beyond)?.cause).toContain("pressure 5.5 bar, 22 % above the 2.5 bar to 4.5 bar");
    const [wide, plain] = [speed(session, beyond), speed(stated, beyond)];
    expect(wide.value).toBeCloseTo(plain.value, 12);
    const more = 0.03 * Math.log(5.5 / 4.5) * wide.value;
    expect(wide.u).toBeCloseTo(Math.hypot(plain.u, more), 6);
  });

  it("makes every result that grows with the speed less sure, those that limits are held to among them", () => {
    const held = { bufferTravelM: { value: 0.03, u: 0.001 }, ratedLoadN: 1e5 };
    const own = { ...launcher, endStop: held } as RamLauncher;
    const quantities = (one: Session, gaugePa: number): Readonly<Record<string, Quantity>> =>
      predictShot(one, at(gaugePa, "beyond")).prediction!.quantities;
    const [low, high] = [quantities(sessionOf(false, own), 5.5e5), quantities(sessionOf(false, own), 5.6e5)];
    const wide = quantities(sessionOf(true, own), 5.5e5);
    const faster = Math.log(high.releaseSpeed!.value / low.releaseSpeed!.value);
    const growing = Object.keys(low).filter(
      (name) => Math.log(Math.abs(high[name]!.value / low[name]!.value)) / faster > 0.5,
    );
    expect(growing).toEqual(expect.arrayContaining(["loadFactor", "endStopPeakForce", "peakBaseReaction"]));
    const least = 0.5 * 0.03 * Math.log(5.5 / 4.5); // relative, of what goes with the root of the speed
    const enough = (name: string) =>
      wide[name]!.u >= (1 - 1e-9) * Math.hypot(low[name]!.u, least * Math.abs(low[name]!.value));
    // Shots from one fill grow with the pressure, whatever the launcher makes of it.
    expect(growing.filter((name) => !enough(name))).toEqual(["shotsPerFill"]);
  });

  it("is as it was at and between those pressures, and by the launcher as stated", () => {
    for (const shot of [session.shots[1]!, at(3.5e5, "between")]) {
      expect(said(session, shot)).toBeUndefined();
      expect(speed(session, shot).u).toBeCloseTo(speed(stated, shot).u, 9);
    }
    expect(said(stated, session.shots[2]!)).toBeUndefined();
  });

  it("counts the mass and the stroke too, below as above, and several together", () => {
    const launch = launchInputs(session, at(2e5, "below"));
    const heavy = {
      ...launch.airframe,
      massKg: { ...launch.airframe.massKg!, value: 2 * launch.airframe.massKg!.value },
    };
    const { notices, prediction } = predictLaunch({ ...launch, airframe: heavy });
    const cause = notices.find(({ code }) => code === CODE)!.cause;
    expect(cause).toContain("pressure 2 bar, 20 % below the 2.5 bar to 4.5 bar; mass ");
    expect(cause).toContain(" 100 % above the ");
    const relative = 0.03 * Math.hypot(Math.log(2.5 / 2), Math.log(2));
    const { value, u } = prediction!.quantities.releaseSpeed!;
    expect(u).toBeGreaterThan(relative * value);
  });

  it("is said by the next shot where its answer lies beyond", () => {
    const wanted = speed(session, session.shots[2]!).value;
    const ask = { speedMPerS: { value: wanted, u: 0 }, choose: "pressure", leastStallMargin: null } as const;
    const rated = sessionOf(true, { ...launcher, tankRatingPa: 1e6 });
    const report = nextShot(rated, session.shots[1]!, ask, []);
    expect(report.answer!.setting.value).toBeGreaterThan(5.3e5);
    expect(report.cautions.map(({ code }) => code)).toContain(CODE);
  });
});
