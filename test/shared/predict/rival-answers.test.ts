import { expect, it } from "vitest";
import { tuningFault } from "../../../src/shared/predict/launcher-in-use.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Session, Tuning } from "../../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { ramSession, ramShot } from "../next-shot/ram-session.ts";

const VALUES = [
  { value: 1.1e-7, u: 1e-9 },
  { value: 20, u: 2 },
];
const OTHER = [
  { value: 1.2e-7, u: 1e-9 },
  { value: 20, u: 2 },
];
const shot = ramShot({ value: 4e5, u: 1e3 });

function tuned(values: typeof VALUES, rivals?: readonly (typeof VALUES)[]): Session {
  const tuning: Tuning = {
    parameters: ["valve.conductance", "slidingN"],
    shotIds: [],
    heldOutShotIds: [],
    tuned: {
      values,
      correlation: [
        [1, 0],
        [0, 1],
      ],
      undetermined: [],
      scatter: 0,
      shotCount: 3,
      ...(rivals && { rivals: rivals.map((one) => ({ values: one })) }),
    },
    use: true,
  };
  return { ...oneOfEach({ ...ramSession({}, {}, 1), tuning }), shots: [shot] };
}

const predicted = (session: Session) => {
  const { prediction, notices } = predictShot(session, shot);
  const said = notices.find(({ code }) => code === "other-answers");
  return { speed: prediction!.quantities.releaseSpeed!, said };
};

it("says what a separate answer of the tuning gives, and holds it in the uncertainty", () => {
  const [first, second, both] = [tuned(VALUES), tuned(OTHER), tuned(VALUES, [OTHER])].map(predicted);
  expect(first!.said).toBeUndefined();
  expect(both!.speed.value).toBe(first!.speed.value);
  const apart = second!.speed.value - first!.speed.value;
  expect(Math.abs(apart)).toBeGreaterThan(3 * first!.speed.u);
  // equally likely, one of two: the mean square of the difference from the first is half of its square
  expect(both!.speed.u).toBeCloseTo(Math.hypot(first!.speed.u, apart / Math.SQRT2), 4);
  expect(both!.said!.cause.replaceAll("\u00a0", " ")).toContain(
    `By the other the release speed would be ${second!.speed.value.toFixed(2)} ±`,
  );
});

it("cannot use an answer that lacks a value", () => {
  const short = tuned(VALUES, [OTHER.slice(0, 1)]);
  expect(tuningFault(firstOf(short))?.code).toBe("tuning-broken");
});
