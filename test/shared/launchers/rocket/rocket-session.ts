import type { Measured } from "../../../../src/shared/quantity/measured.ts";
import { freshSession } from "../../../../src/shared/session/fresh.ts";
import type { Airframe, Motor, RocketLauncher, Session } from "../../../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../../../support/one-of-each.ts";
import { CURVE } from "../../launch/rocket/rocket-cases.ts";

export const exactly = (value: number): Measured => ({ value, u: 0 });

export const MOTOR: Motor = {
  id: "left",
  name: "left",
  thrust: { by: "curve", points: CURVE.map(([t, f]) => [t, f]) },
  thrustScale: exactly(1),
  propellantKg: exactly(0.0108),
  aheadM: exactly(-0.2),
  aboveM: exactly(-0.006),
  rightM: exactly(-0.1),
  tiltUpRad: exactly(0),
  tiltRightRad: exactly(0),
  delayS: exactly(0),
  lit: true,
  ejectionS: null,
};

/** The checked boost as a session: two motors under 0.60 kg on a 1 m cradle at 20°. */
export function launcherOf(change: Partial<RocketLauncher> = {}, right: Partial<Motor> = {}): RocketLauncher {
  return {
    kind: "rocket-boost",
    name: "Twin cradle",
    angleRad: exactly((20 * Math.PI) / 180),
    railM: exactly(1),
    slidingN: exactly(0),
    boosterKg: exactly(0),
    motors: [MOTOR, { ...MOTOR, id: "right", name: "right", rightM: exactly(0.1), ...right }],
    ...change,
  };
}

export function sessionOf(launcher: RocketLauncher, airframe: Partial<Airframe> = {}): Session {
  const fresh = freshSession("bench");
  return oneOfEach({
    ...fresh,
    airframe: {
      ...firstOf(fresh).airframe,
      massKg: exactly(0.6),
      pitchInertiaKgM2: exactly(0.018),
      yawInertiaKgM2: exactly(0.025),
      dragAreaM2: exactly(0.006),
      ...airframe,
    },
    launcher,
  });
}
