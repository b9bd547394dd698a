import type { Measured } from "../quantity/measured.ts";
import type { UncertainInput } from "./propagate.ts";
import type { RamInputs, ValveInputs } from "./ram-inputs.ts";

interface MeasuredValve {
  readonly conductance: Measured;
  readonly criticalRatio: Measured;
}

/** A ram, its load and the air as a person measured them: RamInputs with a standard uncertainty on each number. */
export interface MeasuredRam {
  readonly tankVolumeM3: Measured;
  readonly gaugePressurePa: Measured;
  readonly airPressurePa: Measured;
  readonly temperatureK: Measured;
  readonly boreM: Measured;
  readonly strokeM: Measured;
  readonly deadVolumeM3: Measured;
  readonly valve: MeasuredValve;
  readonly openingS: Measured;
  readonly movingMassKg: Measured;
  readonly airframeMassKg: Measured;
  readonly angleRad: Measured;
  readonly breakawayN: Measured;
  readonly slidingN: Measured;
  readonly viscousNsPerM: Measured;
  readonly rodChamber: {
    readonly rodDiameterM: Measured;
    readonly volumeM3: Measured;
    readonly vent: MeasuredValve;
  } | null;
  readonly gas: "adiabatic" | "isothermal";
}

const ABOVE_ZERO = [
  "tankVolumeM3",
  "airPressurePa",
  "temperatureK",
  "boreM",
  "strokeM",
  "deadVolumeM3",
  "airframeMassKg",
] as const;
const ZERO_OR_MORE = ["openingS", "movingMassKg", "breakawayN", "slidingN", "viscousNsPerM"] as const;
const ANY = ["gaugePressurePa", "angleRad"] as const;
const PLAIN = [...ABOVE_ZERO, ...ZERO_OR_MORE, ...ANY] as const;

/** The ram's numbers as a list for propagation, with the limits within which the model may be asked; order as in `ramInputsOf`. */
export function uncertainInputs(ram: MeasuredRam): readonly UncertainInput[] {
  const rod = ram.rodChamber;
  return [
    ...ABOVE_ZERO.map((name) => aboveZero(name, ram[name])),
    ...ZERO_OR_MORE.map((name) => ({ name, ...ram[name], low: 0 })),
    ...ANY.map((name) => ({ name, ...ram[name] })),
    ...valveList("valve", ram.valve),
    ...(rod
      ? [
          {
            ...aboveZero("rodChamber.rodDiameterM", rod.rodDiameterM),
            high: Math.max(rod.rodDiameterM.value, ram.boreM.value * 0.999),
          },
          aboveZero("rodChamber.volumeM3", rod.volumeM3),
          ...valveList("rodChamber.vent", rod.vent),
        ]
      : []),
  ];
}

/** RamInputs from the values of `uncertainInputs`, in its order. */
export function ramInputsOf(ram: MeasuredRam, values: readonly number[]): RamInputs {
  const at = Object.fromEntries(PLAIN.map((name, i) => [name, values[i]!])) as Record<
    (typeof PLAIN)[number],
    number
  >;
  const { movingMassKg, airframeMassKg, ...plain } = at;
  const [c, b, rodDiameterM, volumeM3, ventC, ventB] = values.slice(PLAIN.length);
  const valve = (conductance: number, criticalRatio: number): ValveInputs => ({ conductance, criticalRatio });
  return {
    ...plain,
    totalMassKg: movingMassKg + airframeMassKg,
    valve: valve(c!, b!),
    rodChamber: ram.rodChamber
      ? { rodDiameterM: rodDiameterM!, volumeM3: volumeM3!, vent: valve(ventC!, ventB!) }
      : null,
    gas: ram.gas,
  };
}

function valveList(name: string, valve: MeasuredValve): UncertainInput[] {
  return [
    aboveZero(`${name}.conductance`, valve.conductance),
    {
      name: `${name}.criticalRatio`,
      ...valve.criticalRatio,
      low: 0,
      high: Math.max(valve.criticalRatio.value, 0.999),
    },
  ];
}

/** A step of one u may pass 0 where an input is poorly known; a hundredth of the value is as near as the model is asked. */
function aboveZero(name: string, measured: Measured): UncertainInput {
  return { name, ...measured, low: measured.value / 100 };
}
