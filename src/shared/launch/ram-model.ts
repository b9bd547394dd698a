import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import { AIR_GAMMA, AIR_GAS_CONSTANT } from "./air.ts";
import type { OdeEvent, OdeRun } from "./integrate.ts";
import type { RamInputs } from "./ram-inputs.ts";
import type { Rhs } from "./stepper.ts";
import { signedFlow } from "./valve-flow.ts";

/**
 * Places in the state vector: kg passed by the valve; Pa in the tank; Pa by which the tank is above the drive chamber;
 * m; m/s; J of p dV on the piston; and with a rod chamber its kg and its Pa above the air outside. Pressures across
 * a valve stand as their difference, because the flow near equality goes with its root (see `signedFlow`).
 */
export const PASSED = 0;
export const TANK = 1;
export const DROP = 2;
export const TRAVEL = 3;
export const SPEED = 4;
export const WORK = 5;
export const ROD_MASS = 6;
export const ROD_GAUGE = 7;

/** Which terms act: the piston moves, the valve is still opening. Each change of phase starts a new run. */
export interface RamPhase {
  readonly moving: boolean;
  readonly opening: boolean;
}

/** Part of a launch in one phase. */
export interface RamRun {
  readonly phase: RamPhase;
  readonly t0: number;
  readonly run: OdeRun;
}

export interface RamModel {
  readonly start: Float64Array;
  /** N, push of gas less back pressure less weight along the push, without friction. */
  netForce(y: Float64Array): number;
  /** N, net force at which the piston breaks away. */
  readonly breakaway: number;
  rhs(phase: RamPhase): Rhs;
  /** m/s³, rate of change of the acceleration, from a state and its slope (while moving). */
  jerk(slope: Float64Array): number;
  events(phase: RamPhase): readonly OdeEvent[];
  /** Pa and K of each chamber; the rod chamber's pressure is null where there is none. */
  gas(y: Float64Array): {
    readonly tankPa: number;
    readonly tankK: number;
    readonly chamberPa: number;
    readonly chamberK: number;
    readonly rodChamberPa: number | null;
  };
  readonly absTol: readonly number[];
}

/**
 * Equations of a compressed-air ram: tank, valve, drive chamber with dead volume, piston, optional rod chamber with vent.
 * Uniform chambers of ideal gas, adiabatic walls:
 * valve q = s(t) · ISO 6358 flow, s = min(1, t/t_open); tank ṁ = −q, ṗ = −γ R T_u q/V_t;
 * drive chamber V = V_d + A x, ṁ = q, ṗ = (γ R T_u q − γ p A ẋ)/V;
 * rod chamber V_r = V_r0 + A_r(L − x), ṁ = −q_r, ṗ_r = (−γ R T_u q_r + γ p_r A_r ẋ)/V_r;
 * piston m ẍ = (p − p_a)A − (p_r − p_a)A_r − m g sin θ − F_c − B ẋ once the sum without friction exceeds F_s.
 * T_u is the temperature of the side the gas comes from. Isothermal: γ = 1 and T the air's everywhere.
 * A break-away force below the sliding friction counts as equal to it: the piston cannot start where friction
 * would stop it at once.
 * Source: the structure is that of E. Richer & Y. Hurmuzlu, J. Dyn. Syst. Meas. Control 122 (2000) 416.
 */
export function ramModel(inputs: RamInputs, relTol: number): RamModel {
  const pa = inputs.airPressurePa;
  const airK = inputs.temperatureK;
  const isothermal = inputs.gas === "isothermal";
  const gamma = isothermal ? 1 : AIR_GAMMA;
  const vt = inputs.tankVolumeM3;
  const vd = inputs.deadVolumeM3;
  const stroke = inputs.strokeM;
  const mass = inputs.totalMassKg;
  const area = (Math.PI / 4) * inputs.boreM ** 2;
  const weight = mass * STANDARD_GRAVITY * Math.sin(inputs.angleRad);
  const { conductance, criticalRatio } = inputs.valve;
  const { slidingN: sliding, viscousNsPerM: viscous, openingS: opensIn } = inputs;
  const rod = inputs.rodChamber;
  const rodArea = rod ? area - (Math.PI / 4) * rod.rodDiameterM ** 2 : 0;
  const rodVolume = rod ? rod.volumeM3 : 0;
  const ventC = rod ? rod.vent.conductance : 0;
  const ventB = rod ? rod.vent.criticalRatio : 0;
  const R = AIR_GAS_CONSTANT;
  const tankPa = inputs.gaugePressurePa + pa;
  const tankKg = (tankPa * vt) / (R * airK);
  const chamberKg = (pa * vd) / (R * airK);
  const rodKg = (pa * (rodVolume + rodArea * stroke)) / (R * airK);

  const tankK = (y: Float64Array) => (isothermal ? airK : (y[TANK]! * vt) / ((tankKg - y[PASSED]!) * R));
  const chamberK = (y: Float64Array) =>
    isothermal ? airK : ((y[TANK]! - y[DROP]!) * (vd + area * y[TRAVEL]!)) / ((chamberKg + y[PASSED]!) * R);
  const netForce = (y: Float64Array) =>
    (y[TANK]! - y[DROP]! - pa) * area - (rod ? y[ROD_GAUGE]! * rodArea : 0) - weight;

  function rhs({ moving, opening }: RamPhase): Rhs {
    return (t, y, out) => {
      const open = opening ? Math.min(1, t / opensIn) : 1;
      const fromK = tankK(y);
      const toK = chamberK(y);
      const q = signedFlow(open * conductance, criticalRatio, y[TANK]!, fromK, y[DROP]!, toK);
      const carried = gamma * R * (q >= 0 ? fromK : toK) * q;
      const v = moving ? y[SPEED]! : 0;
      const power = (y[TANK]! - y[DROP]!) * area * v;
      out[PASSED] = q;
      out[TANK] = -carried / vt;
      out[DROP] = out[TANK]! - (carried - gamma * power) / (vd + area * y[TRAVEL]!);
      out[TRAVEL] = v;
      out[SPEED] = moving ? (netForce(y) - sliding - viscous * v) / mass : 0;
      out[WORK] = power;
      if (!rod) return;
      const volume = rodVolume + rodArea * (stroke - y[TRAVEL]!);
      const rodPa = pa + y[ROD_GAUGE]!;
      const rodK = isothermal ? airK : (rodPa * volume) / (y[ROD_MASS]! * R);
      const qr = signedFlow(ventC, ventB, rodPa, rodK, y[ROD_GAUGE]!, airK);
      out[ROD_MASS] = -qr;
      out[ROD_GAUGE] = (gamma * (rodPa * rodArea * v - R * (qr >= 0 ? rodK : airK) * qr)) / volume;
    };
  }

  const breakaway = Math.max(inputs.breakawayN, sliding);
  const forceScale = 1 / (tankPa * area);
  const speedScale = Math.sqrt((2 * (tankPa - pa) * area * stroke) / mass);
  // Where a flow law changes its form: r = b either way, and r = 1. Each value is of order 1.
  const lawChanges = (name: string, b: number, relativeDrop: (y: Float64Array) => number): OdeEvent[] => [
    { name: `${name}: forward choking`, direction: 0, value: (_t, y) => 1 - b - relativeDrop(y) },
    { name: `${name}: reverse choking`, direction: 0, value: (_t, y) => 1 - b + b * relativeDrop(y) },
    { name: `${name}: reversal`, direction: 0, value: (_t, y) => relativeDrop(y) },
  ];
  const flowEvents = [
    ...lawChanges("valve", criticalRatio, (y) => y[DROP]! / y[TANK]!),
    ...(rod ? lawChanges("vent", ventB, (y) => y[ROD_GAUGE]! / (pa + y[ROD_GAUGE]!)) : []),
  ];
  const startEvent: OdeEvent = {
    name: "start",
    direction: 1,
    value: (_t, y) => (netForce(y) - breakaway) * forceScale,
  };
  const exitEvent: OdeEvent = { name: "exit", direction: 1, value: (_t, y) => y[TRAVEL]! / stroke - 1 };
  const stallEvent: OdeEvent = { name: "stall", direction: -1, value: (_t, y) => y[SPEED]! / speedScale };

  return {
    start: Float64Array.from([0, tankPa, tankPa - pa, 0, 0, 0, ...(rod ? [rodKg, 0] : [])]),
    netForce,
    breakaway,
    rhs,
    jerk: (slope) =>
      ((slope[TANK]! - slope[DROP]!) * area -
        (rod ? slope[ROD_GAUGE]! * rodArea : 0) -
        viscous * slope[SPEED]!) /
      mass,
    events: ({ moving }) => [...(moving ? [exitEvent, stallEvent] : [startEvent]), ...flowEvents],
    gas: (y) => ({
      tankPa: y[TANK]!,
      tankK: tankK(y),
      chamberPa: y[TANK]! - y[DROP]!,
      chamberK: chamberK(y),
      rodChamberPa: rod ? pa + y[ROD_GAUGE]! : null,
    }),
    // Small against each component's size in the launch, so that early, tiny motion is followed too.
    absTol: [
      1e-4 * chamberKg,
      1e-4 * pa,
      1e-2 * pa,
      1e-4 * stroke,
      1e-4 * speedScale,
      1e-4 * tankPa * area * stroke,
      ...(rod ? [1e-4 * rodKg, 1e-2 * pa] : []),
    ].map((scale) => relTol * scale),
  };
}
