import { predictShot } from "../predict/predict-shot.ts";
import type { Quantity } from "../quantity/measured.ts";
import type { Launcher, Motor, Session, Shot } from "../session/schema.ts";

/** One of the launcher's motors in every mount. */
export interface MotorChoice {
  readonly name: string;
  /** null when it does not launch. */
  readonly speed: Quantity | null;
}

/**
 * The release speed with each of the launcher's motors in all of its mounts, for a launcher that holds more than one kind. The airframe's
 * mass changes by the difference in propellant; empty cases are taken as equally heavy.
 */
export function motorChoices(session: Session, shot: Shot): readonly MotorChoice[] {
  const { launcher } = session;
  if (launcher?.kind !== "rocket-boost") return [];
  const kinds = new Map(launcher.motors.map((motor) => [kindOf(motor), motor]));
  if (kinds.size < 2) return [];
  return [...kinds.values()].map((motor) => {
    const speed = predictShot(withMotor(session, launcher, motor), shot).prediction?.quantities.releaseSpeed;
    return { name: motor.name, speed: speed ?? null };
  });
}

function kindOf({ name, thrust, propellantKg }: Motor): string {
  return JSON.stringify([name, thrust, propellantKg.value]);
}

function withMotor(
  session: Session,
  launcher: Extract<Launcher, { kind: "rocket-boost" }>,
  chosen: Motor,
): Session {
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
