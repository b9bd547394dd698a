import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import type { Motor, Session } from "../../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });

/** A motor with a flat thrust of its own for half a second. */
export function motor(id: string, thrustN: number, propellantKg: number): Motor {
  return {
    id,
    name: id,
    thrust: {
      by: "curve",
      points: [
        [0, 0],
        [0.02, thrustN],
        [0.5, thrustN],
        [0.52, 0],
      ],
    },
    thrustScale: exactly(1),
    propellantKg: exactly(propellantKg),
    aheadM: exactly(-0.2),
    aboveM: exactly(0),
    rightM: exactly(0),
    tiltUpRad: exactly(0),
    tiltRightRad: exactly(0),
    delayS: exactly(0),
    lit: true,
    ejectionS: null,
  };
}

/** A boost by such motors along a cradle of a metre. */
export function boost(motors: readonly Motor[], massKg = 0.6): Session {
  const fresh = freshSession("bench");
  return oneOfEach({
    ...fresh,
    airframe: { ...firstOf(fresh).airframe, massKg: exactly(massKg) },
    launcher: {
      kind: "rocket-boost",
      name: "cradle",
      angleRad: exactly(0.3),
      railM: exactly(1),
      slidingN: exactly(1),
      boosterKg: exactly(0),
      motors: [...motors],
    },
  });
}
