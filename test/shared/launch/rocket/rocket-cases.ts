import type { RocketInputs, RocketMotor } from "../../../../src/shared/launch/rocket/rocket-inputs.ts";
import type { ThrustCurve } from "../../../../src/shared/launch/rocket/thrust-curve.ts";

/** An invented motor, straight lines between points: 10.03 N·s in 1.85 s with 10.8 g of propellant. */
export const CURVE: ThrustCurve = [
  [0, 0],
  [0.03, 4],
  [0.12, 9],
  [0.2, 14],
  [0.28, 9],
  [0.4, 5.5],
  [0.8, 4.8],
  [1.4, 4.6],
  [1.75, 4.4],
  [1.85, 0],
];

const MOTOR: RocketMotor = {
  name: "left",
  curve: CURVE,
  thrustScale: 1,
  propellantKg: 0.0108,
  aheadM: -0.2,
  aboveM: -0.006,
  rightM: -0.1,
  tiltUpRad: 0,
  tiltRightRad: 0,
  delayS: 0,
  lit: true,
  ejectionS: null,
};

/**
 * Two motors 0.10 m left and right and 6 mm below the centre of gravity of a 0.60 kg
 * airframe on a 1 m cradle at 20°.
 */
export function twoMotors(
  right: Partial<RocketMotor> = {},
  airframe: Partial<RocketInputs> = {},
  left: Partial<RocketMotor> = {},
): RocketInputs {
  return {
    massKg: 0.6,
    angleRad: (20 * Math.PI) / 180,
    railM: 1,
    slidingN: 0,
    boosterKg: 0,
    dragAreaM2: 0.006,
    airDensity: 1.225,
    headwindMPerS: 0,
    pitchInertiaKgM2: 0.018,
    yawInertiaKgM2: 0.025,
    turnsOnCradle: false,
    motors: [
      { ...MOTOR, ...left },
      { ...MOTOR, name: "right", rightM: 0.1, ...right },
    ],
    ...airframe,
  };
}

/** One motor of constant thrust through the centre of gravity, with no drag and no friction. */
export function constantThrust(
  thrustN: number,
  burnS: number,
  propellantKg: number,
  airframe: Partial<RocketInputs> = {},
): RocketInputs {
  const curve: ThrustCurve = [
    [0, 0],
    [0, thrustN],
    [burnS, thrustN],
    [burnS, 0],
  ];
  const motor: RocketMotor = { ...MOTOR, name: "only", curve, propellantKg, aboveM: 0, rightM: 0 };
  return { ...twoMotors(), dragAreaM2: 0, railM: 0.5, motors: [motor], ...airframe };
}
