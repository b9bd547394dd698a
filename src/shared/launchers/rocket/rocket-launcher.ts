import { ROCKET_INPUTS } from "../../inputs/rocket-inputs.ts";
import { motorImpulse, rocketCautions } from "../../launch/rocket/rocket-cautions.ts";
import type { RocketLauncher } from "../../session/schema.ts";
import { sayer } from "../launcher-facts.ts";
import type { LauncherKindModel } from "../launcher-kind-model.ts";
import { freshRocket } from "./fresh-rocket.ts";
import { motorLoads } from "./motor-loads.ts";
import { predictRocketShot } from "./predict-rocket-shot.ts";
import { ROCKET_SETTINGS } from "./rocket-settings.ts";
import { rocketSketch } from "./rocket-sketch.ts";
import { rocketTunable } from "./rocket-tunable.ts";

const STRAIGHT_UP = { value: Math.PI / 2, u: 0 };

/** Rocket motors on the airframe, which leaves a cradle. */
export const ROCKET_LAUNCHER: LauncherKindModel<RocketLauncher> = {
  words: "rocket boost",
  inputs: ROCKET_INPUTS,
  guessed: freshRocket,
  hasTank: false,
  pushesAfterRelease: true,
  push: {
    predict: predictRocketShot,
    likely: ["slidingN", "motors.0.thrustScale"],
    tunable: (launcher, { airframe, massKg, conditions }) => ({
      ok: true,
      model: rocketTunable(launcher, airframe, massKg, conditions),
    }),
    signatures: () => null,
  },
  cautions: {
    ofShot: (launcher, { airframe }) => rocketCautions({ ...launcher, massKg: airframe.massKg }),
    ofKind: () => rocketCautions({ motors: [], angleRad: STRAIGHT_UP, massKg: null }),
    standing: () => [],
    ofStoredEnergy: () => [],
    closing: [],
  },
  settings: ROCKET_SETTINGS,
  directionRad: ({ angleRad }) => angleRad,
  travelM: ({ railM }) => railM,
  limits: () => ({}),
  loads: motorLoads,
  sketch: rocketSketch,
  facts({ motors, railM, angleRad }, units) {
    const say = sayer(units);
    const each = motors.map(
      (motor) => `${motor.name}, ${say(motorImpulse(motor), "N·s")}${motor.lit ? "" : " (not lit)"}`,
    );
    return [
      ["Motors", each.join("; ")],
      ["Travel along the cradle", say(railM, "m")],
      ["Cradle", `${say(angleRad, "rad")} above the horizontal`],
    ];
  },
};
