import { describe, expect, it } from "vitest";
import { asDrawn, type SystematicParts } from "../../../src/shared/measure/systematic-parts.ts";

/**
 * Clock and scale by first order: together 4 of the speed and 10 of the angle. Drawn, the
 * speed has 6 and the angle 5.
 */
const PARTS: SystematicParts = {
  variances: new Map([
    ["clock", { releaseSpeed: 1, launchAngle: 10 }],
    ["scale", { releaseSpeed: 3, launchAngle: 0, stroke: 7 }],
  ]),
  by: "first order",
  drawn: {
    draws: 200,
    tried: 200,
    firstOrder: { releaseSpeed: 4, launchAngle: 10, stroke: 7 },
    variance: { releaseSpeed: 6, launchAngle: 5 },
    shift: {},
  },
  assumed: new Map(),
  cutShort: [],
};

describe("asDrawn", () => {
  it("gives each source its share of what drawing all inputs gave, larger or smaller; what was not drawn stands", () => {
    const { variances, by, drawn } = asDrawn(PARTS);
    expect(by).toBe("drawing");
    expect(drawn).toBe(PARTS.drawn);
    expect(Object.fromEntries(variances)).toEqual({
      clock: { releaseSpeed: 1.5, launchAngle: 5 },
      scale: { releaseSpeed: 4.5, launchAngle: 0, stroke: 7 },
    });
  });

  it("shares out nothing where the first order has nothing", () => {
    const nothing = { ...PARTS.drawn!, firstOrder: { releaseSpeed: 0 } };
    const { variances } = asDrawn({ ...PARTS, drawn: nothing });
    expect(variances.get("clock")!.releaseSpeed).toBe(0);
  });

  it("makes nothing smaller where draws failed: what they would have given is cut off", () => {
    const cut = { ...PARTS, drawn: { ...PARTS.drawn!, tried: 205 } };
    const { variances } = asDrawn(cut);
    expect(variances.get("clock")).toEqual({ releaseSpeed: 1.5, launchAngle: 10 });
    const few = { ...PARTS, drawn: { ...PARTS.drawn!, tried: 204 } }; // 2 %
    expect(asDrawn(few).variances.get("clock")!.launchAngle).toBe(5);
  });

  it("leaves parts as they are where nothing was drawn, no draw gave a motion, or it was done already", () => {
    const none = { ...PARTS, drawn: null };
    const failed = { ...PARTS, drawn: { ...PARTS.drawn!, draws: 0 } };
    const done = asDrawn(PARTS);
    for (const parts of [none, failed, done]) expect(asDrawn(parts)).toBe(parts);
  });
});
