import { describe, expect, it } from "vitest";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { flightPlane } from "../../../src/shared/scale/flight-plane.ts";
import { plumbAngle } from "../../../src/shared/scale/plumb-angle.ts";
import fc from "../../support/drawn-inputs.ts";

describe("flightPlane", () => {
  it("puts up where the plumb's top is, for a picture rolled either way", () => {
    for (const bottom of [
      [130, 500],
      [70, 500],
    ] as const) {
      const roll = unwrap(plumbAngle([100, 100], bottom, 0.5, 0)).value;
      const plane = flightPlane(0.002, roll, "right");
      const [x0, y0] = plane.toMetres([100, 100]);
      const [x1, y1] = plane.toMetres(bottom);
      expect(x1 - x0).toBeCloseTo(0, 12);
      expect(y0 - y1).toBeCloseTo(0.002 * Math.hypot(30, 400), 12);
    }
  });

  it("makes forward positive for a flight to the left, up unchanged", () => {
    const [right, left] = [flightPlane(0.002, 0.03, "right"), flightPlane(0.002, 0.03, "left")];
    const [a, b] = [right.toMetres([300, 200]), left.toMetres([300, 200])];
    expect(b).toEqual([-a[0], a[1]]);
  });

  it("goes to metres and back for any point, roll and direction", () => {
    const coordinate = fc.double({ min: -5000, max: 5000, noNaN: true });
    fc.assert(
      fc.property(
        coordinate,
        coordinate,
        fc.double({ min: -0.5, max: 0.5, noNaN: true }),
        fc.boolean(),
        (x, y, roll, left) => {
          const plane = flightPlane(0.0013, roll, left ? "left" : "right");
          const [px, py] = plane.toPixels(plane.toMetres([x, y]));
          expect(px).toBeCloseTo(x, 8);
          expect(py).toBeCloseTo(y, 8);
        },
      ),
    );
  });

  it("throws RangeError without a scale", () => {
    expect(() => flightPlane(0, 0, "right")).toThrow(/scale > 0.*got 0, 0/);
  });
});

describe("plumbAngle", () => {
  it("has u = sqrt(2) u / d from the picks and the line's own hang in quadrature", () => {
    const angle = unwrap(plumbAngle([100, 100], [100, 600], 0.5, 0.002));
    expect(angle.value).toBeCloseTo(0, 15);
    expect(angle.u).toBeCloseTo(Math.hypot(Math.SQRT2 * 0.001, 0.002), 15);
  });

  it("refuses picks too close to tell a direction", () => {
    expect(plumbAngle([0, 0], [0, 5], 0.5, 0)).toMatchObject({
      code: "too-close",
      numbers: { separationPx: 5 },
    });
  });
});
