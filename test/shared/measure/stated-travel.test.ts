import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { guessesOf } from "../../../src/shared/inputs/launcher-rows.ts";
import { ROCKET_BOOSTER, ROCKET_CRADLE } from "../../../src/shared/inputs/rocket-inputs.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { Launcher, Mark, RocketLauncher, Shot } from "../../../src/shared/session/schema.ts";
import { oneOfEach } from "../../support/one-of-each.ts";

const SESSION = exampleSession(1);
const SHOT = SESSION.shots[0]!;
const ROCKET: RocketLauncher = {
  kind: "rocket-boost",
  name: "",
  ...guessesOf({ ...ROCKET_CRADLE, ...ROCKET_BOOSTER }),
  motors: [],
};

function measured(patch: Partial<Shot>, part: { readonly launcher?: Launcher } = {}): ShotResult {
  const session = oneOfEach({ ...SESSION, ...part, shots: [{ ...SHOT, ...patch }] });
  return measureShot(session, SHOT.id, null);
}
const codes = ({ notices }: ShotResult) => notices.map(({ code }) => code);
const PLAIN = measured({}).measurement!;
const { stroke, releaseSpeed } = PLAIN.quantities as Record<string, Measured>;
const byTravel = (value: number, u: number) =>
  ({ release: { by: "travel", travelM: { value, u } } }) as const;

const BOOST = 60; // m/s², of a motor that burns on
const RATE_HZ = 960;

/** The example's marks with an airframe that is pushed on from release, along the way it flies. */
function boostedMarks(): readonly Mark[] {
  const { a, b, rodM } = SHOT.scale!;
  const pxPerM = Math.hypot(b[0] - a[0], b[1] - a[1]) / rodM.value;
  const angle = PLAIN.quantities.launchAngle!.value;
  return SHOT.marks.map((mark) => {
    const flownS = mark.frame / RATE_HZ - PLAIN.releaseClipS;
    const px = flownS <= 0 ? 0 : (pxPerM * BOOST * flownS * flownS) / 2;
    return { ...mark, x: mark.x + px * Math.cos(angle), y: mark.y - px * Math.sin(angle) };
  });
}

describe("release after a known travel", () => {
  it("agrees with the end of the push where both tell the same, and is no less sure", () => {
    const told = measured(byTravel(stroke!.value, 0.004));
    const found = told.measurement!.quantities.releaseSpeed!;
    expect(Math.abs(found.value - releaseSpeed!.value)).toBeLessThan(releaseSpeed!.u);
    expect(found.u).toBeLessThan(1.05 * releaseSpeed!.u);
    expect(codes(told)).not.toContain("release-travel");
  });

  it("says when the push ends elsewhere, with both travels", () => {
    const told = measured(byTravel(stroke!.value + 0.2, 0.01));
    const notice = told.notices.find(({ code }) => code === "release-travel");
    expect(notice?.cause).toMatch(
      /^The push ends in the motion after .* m of travel; release is stated after/,
    );
  });

  it("measures a rocket that burns on, which the end of the push cannot tell", () => {
    const marks = [...boostedMarks()];
    const refused = measured({ marks }, { launcher: ROCKET });
    expect(refused.measurement).toBeNull();
    expect(refused.notices.find(({ code }) => code === "no-flight")?.remedy).toContain("after which travel");
    const told = measured({ marks, ...byTravel(stroke!.value, 0.005) }, { launcher: ROCKET });
    const { quantities } = told.measurement!;
    const { value, u } = quantities.releaseSpeed!;
    expect(Math.abs(value - releaseSpeed!.value)).toBeLessThan(3 * u);
    expect(u).toBeLessThan(0.25);
    expect(quantities.dragAfterRelease ?? null).toBeNull();
    expect(told.measurement!.flightBend).toBeUndefined();
  });

  it("refuses the same marks under a launcher that does not push on, travel stated or not", () => {
    const marks = [...boostedMarks()];
    const refused = measured({ marks, ...byTravel(stroke!.value, 0.005) });
    expect(refused.measurement).toBeNull();
    expect(codes(refused)).toContain("no-flight");
  });

  it("carries the scale into release: what the budget says of it is what another rod gives", () => {
    const rocket = { marks: [...boostedMarks()], ...byTravel(stroke!.value, 0.005) };
    const withRod = (share: number) => {
      const scale = { ...SHOT.scale!, rodM: { value: SHOT.scale!.rodM.value * (1 + share), u: 1e-9 } };
      return measured({ ...rocket, scale }, { launcher: ROCKET }).measurement!.quantities.releaseSpeed!.value;
    };
    const share = 0.01;
    const drawn = (withRod(share) - withRod(-share)) / (2 * share);
    const rodM = { value: SHOT.scale!.rodM.value, u: 0.01 * SHOT.scale!.rodM.value };
    const told = measured({ ...rocket, scale: { ...SHOT.scale!, rodM } }, { launcher: ROCKET });
    const line = told.measurement!.budget.releaseSpeed!.find(({ source }) => source === "scale")!;
    // The travel told release: a longer rod makes it come earlier, and the speed grow by less than the scale.
    expect(drawn).toBeLessThan(0.8 * releaseSpeed!.value);
    expect(line.u / (0.01 * drawn)).toBeGreaterThan(0.9);
    expect(line.u / (0.01 * drawn)).toBeLessThan(1.25);
  });
});
