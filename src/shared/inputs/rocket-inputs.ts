import { type Input, MEMORY } from "./input.ts";
import { guess, type LauncherRows, launcherInputs } from "./launcher-rows.ts";
import { inputs } from "./rows.ts";

const ROCKET = "rocket-boost";
const CLASSES = `${MEMORY}: model rocket motors from class A to O`;

/** The cradle. */
export const ROCKET_CRADLE = {
  angleRad: {
    kind: "angle",
    label: "Cradle above horizontal",
    words: "the angle of the cradle",
    about: "rad, cradle above the horizontal",
    value: "any",
    possible: [-1.5708, 1.5708],
    plausible: [-0.3, 1.5708],
    guess: { value: Math.PI / 6, u: 0.1 },
  },
  railM: {
    kind: "length",
    label: "Travel until free of it",
    words: "the travel along the cradle",
    about: "m, travel along the cradle until the airframe is free of it",
    value: "above-zero",
    possible: [1e-3, 1000],
    plausible: [0.02, 20],
    guess: guess(1),
  },
  slidingN: {
    kind: "force",
    label: "Friction along it",
    words: "the friction along the cradle",
    about: "N, constant friction along the cradle",
    value: "zero-or-more",
    possible: [0, 1e6],
    plausible: [0, 500],
    guess: guess(1, 0.5),
  },
} satisfies LauncherRows;

/** The booster. */
export const ROCKET_BOOSTER = {
  boosterKg: {
    kind: "mass",
    label: "Booster dropped at the ejection charge",
    words: "the mass of the booster",
    about:
      "kg, booster with spent motors, dropped at the ejection charge; part of the airframe's all-up mass",
    value: "zero-or-more",
    possible: [0, 1000],
    plausible: [0, 20],
    guess: { value: 0, u: 0 },
  },
} satisfies LauncherRows;

/** Everything typed of a launcher with rocket motors. */
export const ROCKET_INPUTS: readonly Input[] = [
  ...launcherInputs(ROCKET, { ...ROCKET_CRADLE, ...ROCKET_BOOSTER }, true),
  ...inputs(
    "launcher.motors[].",
    "measured",
    "model",
    [
      [
        "thrust.totalImpulseNs",
        "impulse",
        "Total impulse",
        "the total impulse of motor #1",
        [1e-3, 1e6],
        [0.05, 4.1e4],
        CLASSES,
      ],
      [
        "thrust.meanThrustN",
        "force",
        "Mean thrust",
        "the mean thrust of motor #1",
        [1e-3, 1e6],
        [0.1, 1e4],
        CLASSES,
      ],
      [
        "thrust.riseS",
        "time",
        "From ignition to full thrust",
        "the time to full thrust of motor #1",
        [0, 100],
        [0, 5],
      ],
      [
        "thrust.fallS",
        "time",
        "From full thrust to none",
        "the time from full thrust to none of motor #1",
        [0, 100],
        [0, 5],
      ],
      [
        "thrustScale",
        "ratio",
        "Thrust, times the above",
        "the thrust of motor #1 over its curve",
        [1e-3, 1000],
        [0.2, 5],
      ],
      [
        "propellantKg",
        "small-mass",
        "Propellant burnt",
        "the propellant of motor #1",
        [1e-6, 1000],
        [1e-4, 25],
        CLASSES,
      ],
      [
        "delayS",
        "time",
        "Lights after the first ignition",
        "the ignition delay of motor #1",
        [0, 100],
        [0, 5],
      ],
    ],
    { of: ROCKET, tunable: true },
  ),
  ...inputs(
    "launcher.motors[].",
    "measured",
    "model",
    [
      [
        "aheadM",
        "small-length",
        "Nozzle ahead of balance point",
        "how far the nozzle of motor #1 is ahead of the balance point",
        [-50, 50],
        [-3, 3],
      ],
      [
        "aboveM",
        "small-length",
        "Nozzle above it",
        "how far the nozzle of motor #1 is above the balance point",
        [-50, 50],
        [-1, 1],
      ],
      [
        "rightM",
        "small-length",
        "Nozzle right of it, from behind",
        "how far the nozzle of motor #1 is right of the balance point",
        [-50, 50],
        [-2, 2],
      ],
      ["tiltUpRad", "angle", "Thrust turned up", "the upward tilt of motor #1", [-1.57, 1.57], [-0.8, 0.8]],
      [
        "tiltRightRad",
        "angle",
        "Thrust turned right",
        "the tilt of motor #1 to the right",
        [-1.57, 1.57],
        [-0.8, 0.8],
      ],
      [
        "ejectionS",
        "duration",
        "From burnout to the ejection charge",
        "the time to the ejection charge of motor #1",
        [1e-3, 1000],
        [0.1, 30],
      ],
    ],
    { of: ROCKET },
  ),
  ...inputs(
    "launcher.motors[].thrust.points[]",
    "number",
    "model",
    [
      [
        "[0]",
        "duration",
        "Time",
        "the time at point #2 of the thrust curve of motor #1",
        [0, 1000],
        [0, 120],
        CLASSES,
      ],
      [
        "[1]",
        "force",
        "Thrust",
        "the thrust at point #2 of the thrust curve of motor #1",
        [0, 1e6],
        [0, 2e4],
        CLASSES,
      ],
    ],
    { of: ROCKET },
  ),
];
