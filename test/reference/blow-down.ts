import {
  AIR_GAMMA,
  AIR_GAS_CONSTANT,
  REFERENCE_DENSITY,
  REFERENCE_TEMPERATURE,
} from "../../src/shared/launch/air.ts";
import type { ValveInputs } from "../../src/shared/launch/ram/ram-inputs.ts";
import { signedFlow } from "../../src/shared/launch/ram/valve-flow.ts";
import { integrate } from "../../src/shared/numeric/integrate.ts";
import { ok, type Result, refuse } from "../../src/shared/quantity/result.ts";

/** A tank emptying through a valve into the air; pressures absolute. */
export interface BlowDownInputs {
  readonly volumeM3: number;
  readonly valve: ValveInputs;
  readonly startPa: number;
  readonly startK: number;
  readonly airPa: number;
  readonly gas: "adiabatic" | "isothermal";
}

export interface BlowDownState {
  readonly pressurePa: number;
  readonly temperatureK: number;
  /** 1, mass left over mass at the start. */
  readonly massRatio: number;
}

/**
 * Time constant of a choked blow-down, τ = V/(C ρ0 R √(T0 T_i)), s. @throws RangeError on impossible inputs
 */
export function blowDownTimeConstant(inputs: BlowDownInputs): number {
  check(inputs);
  const { volumeM3, valve, startK } = inputs;
  const root = Math.sqrt(REFERENCE_TEMPERATURE * startK);
  return volumeM3 / (valve.conductance * REFERENCE_DENSITY * AIR_GAS_CONSTANT * root);
}

/**
 * Time at which the flow stops being choked, when p falls to p_a/b, s; infinite when
 * b = 0, 0 when never choked.
 * @throws RangeError on impossible inputs
 */
export function unchokingTime(inputs: BlowDownInputs): number {
  const tau = blowDownTimeConstant(inputs);
  const fall = (inputs.startPa * inputs.valve.criticalRatio) / inputs.airPa;
  if (fall === 0) return Infinity;
  if (fall <= 1) return 0;
  if (inputs.gas === "isothermal") return tau * Math.log(fall);
  return (2 * tau * (fall ** ((AIR_GAMMA - 1) / (2 * AIR_GAMMA)) - 1)) / (AIR_GAMMA - 1);
}

/**
 * Closed form while choked. Isothermal p = p_i e^(−t/τ). Adiabatic, with f = 1 + (γ−1)t/(2τ):
 * T = T_i f^−2, p = p_i f^(−2γ/(γ−1)), m ∝ f^(−2/(γ−1)).
 * @returns the state; or the refusal "not-choked" after the flow has stopped being choked ({ untilS })
 * @throws RangeError on impossible inputs or timeS < 0
 */
export function chokedBlowDown(inputs: BlowDownInputs, timeS: number): Result<BlowDownState, "not-choked"> {
  const tau = blowDownTimeConstant(inputs);
  if (!(timeS >= 0)) throw new RangeError(`chokedBlowDown: timeS must be >= 0; got ${timeS}`);
  const untilS = unchokingTime(inputs);
  if (timeS > untilS) return refuse("not-choked", { untilS });
  if (inputs.gas === "isothermal") {
    const left = Math.exp(-timeS / tau);
    return ok({ pressurePa: inputs.startPa * left, temperatureK: inputs.startK, massRatio: left });
  }
  const f = 1 + ((AIR_GAMMA - 1) * timeS) / (2 * tau);
  return ok({
    pressurePa: inputs.startPa * f ** ((-2 * AIR_GAMMA) / (AIR_GAMMA - 1)),
    temperatureK: inputs.startK / (f * f),
    massRatio: f ** (-2 / (AIR_GAMMA - 1)),
  });
}

/**
 * State at any time, choked or not, by integration of ṁ = −q, ṗ = −γ R T q/V (γ = 1, T kept when isothermal).
 * @throws RangeError on impossible inputs or timeS < 0
 */
export function blowDown(inputs: BlowDownInputs, timeS: number): BlowDownState {
  check(inputs);
  if (!(timeS >= 0)) throw new RangeError(`blowDown: timeS must be >= 0; got ${timeS}`);
  const { volumeM3, valve, startPa, startK, airPa, gas } = inputs;
  const gamma = gas === "isothermal" ? 1 : AIR_GAMMA;
  const startKg = (startPa * volumeM3) / (AIR_GAS_CONSTANT * startK);
  // State: kg in the tank, Pa above the air outside.
  const kelvin = (kg: number, gaugePa: number) =>
    gas === "isothermal" ? startK : ((airPa + gaugePa) * volumeM3) / (kg * AIR_GAS_CONSTANT);
  const run = integrate(
    {
      rhs: (_t, y, out) => {
        const temperatureK = kelvin(y[0]!, y[1]!);
        const drop = Math.max(0, y[1]!); // once empty it stays empty
        const q = signedFlow(
          valve.conductance,
          valve.criticalRatio,
          airPa + drop,
          temperatureK,
          drop,
          temperatureK,
        );
        out[0] = -q;
        out[1] = (-gamma * AIR_GAS_CONSTANT * temperatureK * q) / volumeM3;
      },
      relTol: 1e-10,
      absTol: [1e-12 * startKg, 1e-9 * airPa],
    },
    0,
    Float64Array.from([startKg, startPa - airPa]),
    timeS,
  );
  const [kg, gaugePa] = [run.y[0]!, run.y[1]!];
  return { pressurePa: airPa + gaugePa, temperatureK: kelvin(kg, gaugePa), massRatio: kg / startKg };
}

function check({ volumeM3, valve, startPa, startK, airPa }: BlowDownInputs): void {
  const positive = { volumeM3, conductance: valve.conductance, startPa, startK, airPa };
  for (const [name, x] of Object.entries(positive)) {
    if (!(x > 0 && x < Infinity)) throw new RangeError(`blow-down: ${name} must be > 0; got ${x}`);
  }
  if (!(valve.criticalRatio >= 0 && valve.criticalRatio < 1)) {
    throw new RangeError(`blow-down: criticalRatio must be in [0, 1); got ${valve.criticalRatio}`);
  }
  if (!(startPa >= airPa)) {
    throw new RangeError(`blow-down: startPa ${startPa} is below the air outside, ${airPa}`);
  }
}
