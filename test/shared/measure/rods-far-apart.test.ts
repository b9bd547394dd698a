import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { ofShot } from "../../support/notice-codes.ts";

const SESSION = exampleSession(1);
const SHOT = SESSION.shots[0]!;

it("measures with a scale that some draws turn negative, and says that those gave no motion", () => {
  const rod = SHOT.scale!;
  // A metre typed as 1: millimetres, whose 0.4 mm is then 40 %. Both rods count, far apart.
  const slipped = { ...rod, rodM: { value: rod.rodM.value / 1000, u: 0.0004 } };
  const setting = {
    distanceM: { value: 6.5, u: 0.05 },
    nearerM: { value: 0.02, u: 0.01 },
    turnRad: { value: 0, u: 0 },
  };
  const session = { ...SESSION, shots: [{ ...SHOT, rods: [slipped], setting }] };
  const { notices, measurement } = measureShot(session, SHOT.id, null);
  const codes = notices.map(({ code }) => code);
  expect(codes).toContain(ofShot("rods-differ"));
  expect(codes).toContain(ofShot("draws-without-motion"));
  const speed = measurement!.quantities.releaseSpeed!;
  expect(speed.u / speed.value).toBeGreaterThan(0.4);
});
