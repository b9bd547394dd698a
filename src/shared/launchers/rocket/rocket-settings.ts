import type { Measured } from "../../quantity/measured.ts";
import type { RocketLauncher } from "../../session/schema.ts";
import {
  type LauncherSetting,
  lengthRange,
  MASS_SETTING,
  settingRange,
  withTuned,
} from "../launcher-setting.ts";

/** The thrust of every motor, from a fifth to five times the present. */
const MOTOR: LauncherSetting<RocketLauncher> = {
  choose: "motor",
  range(launcher, launch) {
    const times = (x: number) => (one: Measured) => ({ value: one.value * x, u: one.u * x });
    return settingRange({ value: 1, u: 0 }, [0.2, 5], (x) => ({
      ...launch,
      launcher: {
        ...launcher,
        motors: launcher.motors.map((motor) => ({ ...motor, thrustScale: times(x)(motor.thrustScale) })),
      },
      tuning: withTuned(launch.tuning, (path) => path.endsWith("thrustScale"), times(x)),
    }));
  },
};

/** The travel along the cradle, from a tenth to twice what it is. */
const TRAVEL: LauncherSetting<RocketLauncher> = {
  choose: "stroke",
  called: { field: "Travel on the cradle", words: "the travel on the cradle" },
  range: (launcher, launch) => lengthRange(launcher, launch, "railM", [0.1, 2]),
};

/** What can be changed on a rocket boost. */
export const ROCKET_SETTINGS: readonly LauncherSetting<RocketLauncher>[] = [MOTOR, MASS_SETTING, TRAVEL];
