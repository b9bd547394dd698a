import type { ThrustCurve } from "./thrust-curve.ts";

/**
 * One motor of the rocket boost model. Its place is that of the nozzle, from the centre of gravity: ahead
 * (negative behind), above, and right as seen from behind. Its thrust points forward, turned up by
 * `tiltUpRad` and right by `tiltRightRad`: along (cos a cos b, sin a, cos a sin b) in forward, up, right.
 */
export interface RocketMotor {
  readonly name: string;
  readonly curve: ThrustCurve;
  /** 1, thrust of this motor over the curve. */
  readonly thrustScale: number;
  readonly propellantKg: number;
  readonly aheadM: number;
  readonly aboveM: number;
  readonly rightM: number;
  readonly tiltUpRad: number;
  readonly tiltRightRad: number;
  /** s, from t = 0 to this motor's ignition. */
  readonly delayS: number;
  /** False for a motor that does not light: it gives no thrust and keeps its propellant. */
  readonly lit: boolean;
  /** s, from the end of its curve to its ejection charge; null for none. */
  readonly ejectionS: number | null;
}

/** Numbers the rocket boost model needs, SI. */
export interface RocketInputs {
  /** kg, airframe ready to launch with all propellant and booster. */
  readonly massKg: number;
  /** rad, cradle above the horizontal. */
  readonly angleRad: number;
  /** m, travel along the cradle until the airframe is free of it. */
  readonly railM: number;
  /** N, constant friction along the cradle. */
  readonly slidingN: number;
  /** kg, dropped at the first ejection charge; 0 for none. */
  readonly boosterKg: number;
  /** m², C_d A. */
  readonly dragAreaM2: number;
  readonly airDensity: number;
  /** m/s, horizontal, against the direction of launch. */
  readonly headwindMPerS: number;
  /** kg m² about the pitch and the yaw axis through the centre of gravity; null leaves that turning out. */
  readonly pitchInertiaKgM2: number | null;
  readonly yawInertiaKgM2: number | null;
  /**
   * True for a cradle that lets the airframe turn from lift-off; false for one that keeps it
   * in line until it has left.
   */
  readonly turnsOnCradle: boolean;
  readonly motors: readonly RocketMotor[];
}

/** State at one instant, t in s from the first ignition. Turning is null where the inertia is not given. */
export interface RocketState {
  readonly timeS: number;
  readonly positionM: number;
  readonly speedMPerS: number;
  readonly accelerationMPerS2: number;
  readonly massKg: number;
  /** N, sum of the thrusts along the path. */
  readonly thrustN: number;
  /** rad and rad/s from the attitude on the cradle; pitch positive nose up, yaw positive nose right. */
  readonly pitchRad: number | null;
  readonly pitchRateRadPerS: number | null;
  readonly yawRad: number | null;
  readonly yawRateRadPerS: number | null;
}

export interface RocketPeak {
  readonly value: number;
  readonly timeS: number;
}

/**
 * Greatest turn to either side from the attitude on the cradle, with its sign, and greatest rate; null
 * without the inertia.
 */
export interface RocketTurning {
  readonly pitchRad: number | null;
  readonly pitchRateRadPerS: number | null;
  readonly yawRad: number | null;
  readonly yawRateRadPerS: number | null;
}

export interface RocketPrediction {
  /** s, from the first ignition to the start of the motion that leaves the cradle. */
  readonly liftOffS: number;
  /** The instant the airframe is free of the cradle. */
  readonly leaving: RocketState;
  /** The last lit motor has burnt out, or the booster has taken what burns with it. */
  readonly burnout: RocketState;
  /** The booster falls away; null when none does. Speed does not change. */
  readonly separation: RocketState | null;
  /** m/s², along the path: greatest from lift-off until the cradle is left, and until burnout. */
  readonly cradlePeak: RocketPeak;
  readonly boostPeak: RocketPeak;
  /** From lift-off until burnout, on a cradle that keeps the airframe in line from leaving. */
  readonly turning: RocketTurning;
  /** Names of motors that still burn when the booster falls away, or light after it. */
  readonly burningAtSeparation: readonly string[];
  /** s, end of what was computed. */
  readonly endS: number;
  readonly steps: { readonly taken: number; readonly rejected: number };
  /** Dense output for 0 <= t <= endS (clamped outside); at a jump, the state before it. */
  at(timeS: number): RocketState;
}
