import type { Airframe, Motor, RocketLauncher } from "../../session/schema.ts";
import type { Load } from "../launcher-kind-model.ts";

/**
 * The launcher with each kind of its motors in all of its mounts, where it holds more than one kind. The
 * airframe's mass changes by the difference in propellant; empty cases are taken as equally heavy.
 */
export function motorLoads(launcher: RocketLauncher, airframe: Airframe): readonly Load[] {
  const kinds = new Map(launcher.motors.map((motor) => [kindOf(motor), motor]));
  if (kinds.size < 2) return [];
  return [...kinds.values()].map((motor) => withMotor(launcher, airframe, motor));
}

function kindOf({ name, thrust, propellantKg }: Motor): string {
  return JSON.stringify([name, thrust, propellantKg.value]);
}

function withMotor(launcher: RocketLauncher, airframe: Airframe, chosen: Motor): Load {
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
  const { massKg } = airframe;
  return {
    name,
    launcher: { ...launcher, motors },
    airframe: { ...airframe, massKg: massKg && { value: massKg.value + more, u: massKg.u } },
  };
}
