import type { OpeningPoint } from "./opening-curve.ts";

/** ISO 6358 valve: sonic conductance C (m³/(s·Pa)) and critical pressure ratio b (0 <= b < 1). */
export interface ValveInputs {
  readonly conductance: number;
  readonly criticalRatio: number;
}

/**
 * One more valve side by side with the first; times in s, the delay from the first valve starting to open.
 */
export interface FurtherValve {
  readonly valve: ValveInputs;
  readonly openingS: number;
  readonly delayS: number;
}

/**
 * Inputs that a ram may lack, each 0 or more and 0 when left out; key and SI unit as in the
 * session's launcher. `leak`, m³/(s·Pa): sonic conductance of the gap past the piston, from the drive chamber
 * to the air outside. `sealShare`, 1: friction of the seals over the force of the drive chamber's gauge
 * pressure on the piston. `stribeckMPerS`, m/s: as in `fadingFriction`. `supplyGaugePa`, Pa, and
 * `feedConductance`, m³/(s·Pa): as in `ramFeed`. `dragAreaM2`: of the airframe, C_d A; it is the airframe's
 * own.
 */
export const OPTIONAL_RAM_INPUTS = [
  "leak",
  "sealShare",
  "stribeckMPerS",
  "supplyGaugePa",
  "feedConductance",
  "dragAreaM2",
] as const;
export type OptionalRamInput = (typeof OPTIONAL_RAM_INPUTS)[number];

/** Numbers the compressed-air ram model needs, SI; meanings as in the session's launcher. */
export interface RamInputs extends Readonly<Partial<Record<OptionalRamInput, number | undefined>>> {
  readonly tankVolumeM3: number;
  readonly gaugePressurePa: number;
  readonly airPressurePa: number;
  readonly temperatureK: number;
  /**
   * K, of the air in the tank before the shot: warm when just filled, cold after one; the air's when left
   * out.
   */
  readonly tankTemperatureK?: number | undefined;
  readonly boreM: number;
  readonly strokeM: number;
  readonly deadVolumeM3: number;
  readonly valve: ValveInputs;
  /** s, 0 for an instant valve. */
  readonly openingS: number;
  /** How the first valve opens over that time; evenly when left out. */
  readonly openingCurve?: readonly OpeningPoint[] | undefined;
  /** s, from t = 0 until the first valve starts to open; 0 when left out. */
  readonly delayS?: number | undefined;
  readonly moreValves?: readonly FurtherValve[] | undefined;
  /** kg, airframe plus everything that moves with it. */
  readonly totalMassKg: number;
  /**
   * kg of the total that rests against the ram and leaves it as soon as the ram no longer pushes: an airframe
   * that nothing holds back. Left out or 0, a latch holds all together until the end of the stroke.
   */
  readonly looseMassKg?: number | undefined;
  readonly angleRad: number;
  /** m/s, horizontal, against the push; 0 when left out. Only the drag feels it. */
  readonly headwindMPerS?: number | undefined;
  readonly breakawayN: number;
  readonly slidingN: number;
  readonly viscousNsPerM: number;
  readonly rodChamber: {
    readonly rodDiameterM: number;
    readonly volumeM3: number;
    readonly vent: ValveInputs;
  } | null;
  readonly gas: GasKind;
  /** 1, from 1 (isothermal) to 1.4 (adiabatic); read, and needed, when gas is "polytropic". */
  readonly polytropicExponent?: number | undefined;
}

/** Heat exchange of the gas with its walls during the push; what the exponent means stands at `ramModel`. */
export type GasKind = "adiabatic" | "isothermal" | "polytropic";

/** Motion of the airframe on the ram at one instant, t in s from the valve starting to open. */
export interface RamMotion {
  readonly timeS: number;
  readonly positionM: number;
  readonly speedMPerS: number;
  readonly accelerationMPerS2: number;
}

/** The motion, and the gas. */
export interface RamState extends RamMotion {
  readonly tankPa: number;
  readonly tankK: number;
  readonly chamberPa: number;
  readonly chamberK: number;
  readonly rodChamberPa: number | null;
}

/** What moves on without the airframe: piston, rod and cradle, where they come to the end of the stroke. */
export interface RamEnd {
  readonly timeS: number;
  /** m, the stroke; less where the ram stops short of it. */
  readonly positionM: number;
  /** m/s, with which it meets the stop; 0 where it stops short of it. */
  readonly speedMPerS: number;
  readonly chamberPa: number;
  readonly rodChamberPa: number | null;
  /** kg, through the valves until then. */
  readonly airPassedKg: number;
  /** kg, from the supply into the tank until then; 0 without one. */
  readonly airFedKg: number;
  /** m/s², greatest acceleration after the airframe has left; null where both end together. */
  readonly peakAloneMPerS2: number | null;
}

/**
 * "At exit" is where the airframe leaves the ram: the end of the stroke, or before it where contact is lost.
 */
export interface RamPrediction {
  readonly startS: number;
  readonly exitS: number;
  readonly exitSpeedMPerS: number;
  /** m, travel at which the airframe leaves. */
  readonly exitTravelM: number;
  /** Whether the airframe leaves before the end of the stroke, because the ram no longer pushes it. */
  readonly leavesEarly: boolean;
  readonly ramEnd: RamEnd;
  readonly peakAccelerationMPerS2: number;
  readonly peakAccelerationS: number;
  /**
   * N, greatest pull on the base forward along the push, before the end stop: gas shut in on the rod side, or
   * a vacuum behind the piston, slowing what moves; 0 where nothing does.
   */
  readonly peakPullN: number;
  /** N, drag of the air on the airframe at the peak of the acceleration. */
  readonly peakDragN: number;
  readonly exitAccelerationMPerS2: number;
  readonly tankPaAtExit: number;
  readonly chamberPaAtExit: number;
  readonly tankKAtExit: number;
  readonly chamberKAtExit: number;
  readonly rodChamberPaAtExit: number | null;
  readonly airPassedKg: number;
  /** kg, past the piston to the air outside. */
  readonly leakedKg: number;
  readonly pistonWorkJ: number;
  /** Steps the integrator took, and those it rejected. */
  readonly steps: { readonly taken: number; readonly rejected: number };
  /**
   * s, ends of the integrator's steps from 0 to exitS, increasing: between neighbours
   * the dense output is smooth.
   */
  stepEnds(): readonly number[];
  /** Dense output for 0 <= t <= exitS (clamped outside). */
  at(timeS: number): RamState;
  /** The motion alone, as `at` gives it, for those who ask a thousand times. */
  motionAt(timeS: number): RamMotion;
}
