import { guess, guessesOf } from "../../inputs/launcher-rows.ts";
import { ROCKET_BOOSTER, ROCKET_CRADLE } from "../../inputs/rocket-inputs.ts";
import type { RocketLauncher } from "../../session/schema.ts";

/**
 * A cradle with one motor to be overwritten: round numbers of a small boost, each uncertain enough (a third,
 * or more) that every result made with it is seen to be a guess.
 */
export function freshRocket(): RocketLauncher {
  return {
    kind: "rocket-boost",
    name: "",
    ...guessesOf({ ...ROCKET_CRADLE, ...ROCKET_BOOSTER }),
    motors: [
      {
        id: "motor-1",
        name: "motor 1",
        thrust: {
          by: "trapezoid",
          totalImpulseNs: guess(15),
          meanThrustN: guess(10),
          riseS: guess(0.05, 0.5),
          fallS: guess(0.1, 0.5),
        },
        thrustScale: { value: 1, u: 0.05 },
        propellantKg: guess(0.015),
        aheadM: { value: -0.2, u: 0.1 },
        aboveM: { value: 0, u: 0.005 },
        rightM: { value: 0, u: 0.005 },
        tiltUpRad: { value: 0, u: 0.02 },
        tiltRightRad: { value: 0, u: 0.02 },
        delayS: { value: 0, u: 0 },
        lit: true,
        ejectionS: null,
      },
    ],
  };
}
