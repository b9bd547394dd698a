import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import {
  type AccelerationInputs,
  accelerationStretch,
  fitAcceleration,
} from "../../src/shared/launch/on-board/fit-acceleration.ts";
import { fitHeight, type HeightInputs, heightStretch } from "../../src/shared/launch/on-board/fit-height.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";

/*
 * Simulated logs and what scipy's curve_fit finds in them: tools/reference/on_board.py, seed 20260611.
 * That script shares no code with the product.
 */
interface Case {
  readonly name: string;
  readonly of: "height" | "acceleration";
  readonly inputs: Readonly<Record<"m" | "rho" | "wind" | "deg" | "rise" | "release" | "scale", number>>;
  readonly true: { readonly v: number; readonly cda: number };
  readonly fit: {
    readonly v: number;
    readonly cda: number;
    readonly release: number;
    readonly u: readonly number[];
  };
  readonly from_: number;
  readonly to: number;
  readonly lasting: number;
  readonly time: readonly number[];
  readonly value: readonly number[];
}

const CASES: readonly Case[] = JSON.parse(readFileSync(new URL("on-board.json", import.meta.url), "utf8"));
const samplesOf = ({ time, value }: Case) => time.map((timeS, i) => ({ timeS, value: value[i]! }));
const bodyOf = ({ m, rho, wind, deg }: Case["inputs"]) => ({
  massKg: m,
  airDensity: rho,
  headwindMPerS: wind,
  angleRad: (deg * Math.PI) / 180,
});

describe.each(CASES.filter(({ of }) => of === "height"))("a log of heights, $name", (one) => {
  const { inputs, fit: theirs, lasting } = one;
  const stretch = unwrap(heightStretch(samplesOf(one), null));
  const at: HeightInputs = { ...bodyOf(inputs), riseM: inputs.rise, scale: inputs.scale, groundShiftM: 0 };
  const fit = unwrap(fitHeight(stretch, at));

  it("is fitted from the same reading to the same as in the reference", () => {
    expect([stretch.flight[0]!.timeS, stretch.flight.at(-1)!.timeS]).toEqual([one.from_, one.to]);
  });

  it("gives scipy's release speed, drag area and time of release to a hundredth of their u", () => {
    const [uV, uDrag, uRelease] = theirs.u as [number, number, number];
    // The mean on the ground is taken over readings until 0.4 s before flight is seen, theirs until 0.5 s
    // before the
    // push: a few readings more or less move it by some hundredths of its scatter.
    const shift = Math.abs(
      stretch.ground.reduce((sum, { value }) => sum + value, 0) / stretch.ground.length -
        (one as unknown as { ground: number }).ground,
    );
    const room = (u: number) => 0.01 * u + (u * 5 * shift) / fit.scatterM;
    expect(Math.abs(fit.speedMPerS - theirs.v)).toBeLessThan(room(uV));
    expect(Math.abs(fit.dragAreaM2 - theirs.cda)).toBeLessThan(room(uDrag));
    expect(Math.abs(fit.releaseS - theirs.release)).toBeLessThan(room(uRelease));
  });

  it("gives their standard uncertainties, wider where errors last", () => {
    const [uV, uDrag] = theirs.u as [number, number, number];
    const wider = fit.u.speedMPerS / uV;
    if (lasting === 0) expect(wider).toBeLessThan(1.25);
    else expect(wider).toBeGreaterThan(1.8);
    expect(wider).toBeGreaterThan(0.99);
    expect(fit.u.dragAreaM2 / uDrag / wider).toBeCloseTo(1, 2);
  });

  it("holds the true speed and drag area within three u", () => {
    expect(Math.abs(fit.speedMPerS - one.true.v) / fit.u.speedMPerS).toBeLessThan(3);
    expect(Math.abs(fit.dragAreaM2 - one.true.cda) / fit.u.dragAreaM2).toBeLessThan(3);
  });
});

describe.each(CASES.filter(({ of }) => of === "acceleration"))("a log of accelerations, $name", (one) => {
  const at: AccelerationInputs = { ...bodyOf(one.inputs), gain: 1 };
  const fit = unwrap(fitAcceleration(unwrap(accelerationStretch(samplesOf(one), at.angleRad, null)), at));

  it("holds the speed of the push and the drag area within three u, and each u is a small part of it", () => {
    expect(Math.abs(fit.speedMPerS - one.true.v) / fit.u.speedMPerS).toBeLessThan(3);
    expect(fit.u.speedMPerS / fit.speedMPerS).toBeLessThan(0.02);
    expect(Math.abs(fit.dragAreaM2 - one.true.cda) / fit.u.dragAreaM2).toBeLessThan(3);
    expect(Math.abs(fit.releaseS - one.inputs.release)).toBeLessThan(3 * fit.u.releaseS);
  });

  it("gives scipy's drag area within the scatter's u, and at least that u", () => {
    expect(Math.abs(fit.dragAreaM2 - one.fit.cda)).toBeLessThan(2 * fit.u.dragAreaM2);
    expect(fit.u.dragAreaM2).toBeGreaterThan(0.9 * one.fit.u[0]!);
  });
});
