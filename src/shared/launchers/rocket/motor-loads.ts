import type { Motor, RocketLauncher, Session } from "../../session/schema.ts";
import type { LoadedSession } from "../launcher-kind-model.ts";

/**
 * The session with each kind of the launcher's motors in all of its mounts, where it holds more than one kind. The airframe's mass changes
 * by the difference in propellant; empty cases are taken as equally heavy.
 */
export function motorLoads(session: Session, launcher: RocketLauncher): readonly LoadedSession[] {
  const kinds = new Map(launcher.motors.map((motor) => [kindOf(motor), motor]));
  if (kinds.size < 2) return [];
  return [...kinds.values()].map((motor) => ({
    name: motor.name,
    session: withMotor(session, launcher, motor),
  }));
}

function kindOf({ name, thrust, propellantKg }: Motor): string {
  return JSON.stringify([name, thrust, propellantKg.value]);
}

function withMotor(session: Session, launcher: RocketLauncher, chosen: Motor): Session {
  const { thrust, thrustScale, propellantKg, name, ejectionS } = chosen;
  const motors = launcher.motors.map((mount) => ({
    ...mount,
    thrust,
    thrustScale,
    propellantKg,
    name,
    ejectionS,
  }));
  const more = launcher.motors.reduce((sum, mount) => sum + propellantKg.value - mount.propellantKg.value, 0);
  const { massKg } = session.airframe;
  return {
    ...session,
    launcher: { ...launcher, motors },
    airframe: { ...session.airframe, massKg: massKg && { value: massKg.value + more, u: massKg.u } },
  };
}
