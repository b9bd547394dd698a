import { describe, expect, it } from "vitest";
import { rocketNotices } from "../../../../src/shared/launchers/rocket/rocket-notices.ts";
import { exactly, launcherOf, MOTOR, sessionOf } from "./rocket-session.ts";

const DEGREE = Math.PI / 180;
type Of = Parameters<typeof rocketNotices>;
const [LEFT, RIGHT] = launcherOf().motors;
const ROCKET = {
  pitchInertiaKgM2: exactly(0.02),
  yawInertiaKgM2: exactly(0.02),
  motors: [LEFT, RIGHT],
};
const FOUND = {
  quantities: { loadFactor: { value: 5, u: 0.1, unit: "1", how: "" } },
  turning: { pitchRad: null, pitchRateRadPerS: null, yawRad: null, yawRateRadPerS: null },
};
const BOOST = { burningAtSeparation: [], separation: null };

function said(rocket: object = {}, boost: object = {}, found: object = {}, airframe: object = {}) {
  const { units, ...session } = sessionOf(launcherOf(), { dragAreaM2: exactly(0.006), ...airframe });
  const shot = { airframe: session.airframes[0], units };
  return rocketNotices(
    ...([{ ...ROCKET, ...rocket }, shot, { ...BOOST, ...boost }, { ...FOUND, ...found }] as unknown as Of),
  );
}
const codes = (...of: Parameters<typeof said>) => said(...of).map(({ code }) => code as string);

describe("what to know of a predicted boost", () => {
  it("is nothing where all is known, lit, slow to turn and within the load", () => {
    expect(codes()).toEqual([]);
  });

  it("names each motor that is not lit", () => {
    const unlit = { ...MOTOR, name: "right", lit: false };
    expect(said({ motors: [LEFT, unlit] })[0]!.cause).toBe("Predicted with “right” not lit.");
    expect(said({ motors: [{ ...unlit, name: "a" }, unlit] })[0]!.cause).toBe(
      "Predicted with “a”, “right” not lit.",
    );
  });

  it("warns of a turn that may reach 20°/s or 10° until burnout within twice its u, either way, in pitch and in yaw", () => {
    // 0.35 rad/s are 20.05°/s, 0.17 rad 9.74°.
    const still = { value: 0, u: 0 };
    const pitch = (rate: object, angle: object = still) =>
      codes({}, {}, { turning: { ...FOUND.turning, pitchRateRadPerS: rate, pitchRad: angle } });
    expect(pitch({ value: 0.349, u: 0 })).toEqual([]);
    expect(pitch({ value: 0.351, u: 0 })).toEqual(["rocket-turns"]);
    expect(pitch({ value: -0.351, u: 0 })).toEqual(["rocket-turns"]);
    expect(pitch({ value: 0.25, u: 0.049 })).toEqual([]);
    expect(pitch({ value: 0.25, u: 0.051 })).toEqual(["rocket-turns"]);
    expect(pitch(still, { value: -0.169, u: 0 })).toEqual([]);
    expect(pitch(still, { value: -0.171, u: 0 })).toEqual(["rocket-turns"]);
    expect(pitch(still, { value: 0.1, u: 0.036 })).toEqual(["rocket-turns"]);
  });

  it("names the greatest angle and rate of each axis that turns, and calls more than 45° a danger", () => {
    const degrees = (value: number, u: number) => ({ value: value * DEGREE, u: u * DEGREE });
    const yaw = { yawRad: degrees(-65, 3), yawRateRadPerS: degrees(-76, 2) };
    const both = { ...yaw, pitchRad: degrees(12, 1), pitchRateRadPerS: degrees(40, 2) };
    const [over] = said({}, {}, { turning: both });
    expect(over!.level).toBe("danger");
    expect(over!.cause).toMatch(
      /opposes it: pitch by up to \+12\.0 ± 1\.0\s?°, at up to \+40\.0 ± 2\.0\s?°\/s \(nose up positive\); yaw by up to −65 ± 3\s?°, at up to −76\.0 ± 2\.0\s?°\/s \(nose right positive\)\. It may go anywhere\.$/,
    );
    const slight = { turning: { ...FOUND.turning, ...yaw, yawRad: degrees(-20, 1) } };
    expect(said({}, {}, slight)[0]!.level).toBe("warning");
    expect(said({}, {}, slight)[0]!.cause).toMatch(
      /opposes it: yaw by up to −20\.0 ± 1\.0\s?°.*positive\)\.$/,
    );
  });

  it("warns of a booster that parts while motors burn, with the time to three digits", () => {
    const parting = { separation: { timeS: 1.23456 }, burningAtSeparation: ["left"] };
    expect(said({}, parting)[0]!.cause).toBe(
      "The booster parts 1.23 s after ignition, while “left” still burns or has yet to light.",
    );
    expect(said({}, { ...parting, burningAtSeparation: ["left", "right"] })[0]!.cause).toContain(
      "“left”, “right” still burn or have yet to light",
    );
    expect(codes({}, { ...parting, burningAtSeparation: [] })).toEqual([]);
    expect(codes({}, { ...parting, separation: null })).toEqual([]);
  });

  it("says that drag is left out where its area is not known", () => {
    expect(codes({}, {}, {}, { dragAreaM2: undefined })).toEqual(["rocket-no-drag"]);
  });

  it("asks for an inertia only where thrust beside the centre of gravity would turn about that axis", () => {
    const centred = { ...MOTOR, aboveM: exactly(0), rightM: exactly(0) };
    const none = { pitchInertiaKgM2: null, yawInertiaKgM2: null };
    const missing = (motor: object) =>
      said({ ...none, motors: [centred, { ...centred, ...motor }] }).map(({ cause }) =>
        ["pitch inertia", "yaw inertia"].filter((name) => cause.toLowerCase().includes(name.slice(0, 3))),
      );
    expect(missing({})).toEqual([]);
    for (const key of ["aboveM", "tiltUpRad"]) {
      expect(missing({ [key]: exactly(0.01) }), key).toEqual([["pitch inertia"]]);
      expect(missing({ [key]: { value: 0, u: 0.01 } }), key).toEqual([["pitch inertia"]]);
    }
    for (const key of ["rightM", "tiltRightRad"]) {
      expect(missing({ [key]: exactly(-0.01) }), key).toEqual([["yaw inertia"]]);
    }
    expect(codes({ motors: [{ ...centred, aboveM: exactly(0.01) }] })).toEqual([]);
  });

  it("holds the load of the boost, not of the cradle alone, against the limit, and says what lessens it", () => {
    const limit = { loadLimitG: exactly(8) };
    expect(codes({}, {}, {}, limit)).toEqual([]);
    const boostLoadFactor = { value: 9, u: 0.1, unit: "1", how: "" };
    const over = said({}, {}, { quantities: { ...FOUND.quantities, boostLoadFactor } }, limit)[0]!;
    expect(over.code as string).toBe("load-limit");
    expect(over.remedy).toContain("Take motors of less thrust, or strengthen the airframe.");
  });
});
