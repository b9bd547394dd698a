import type { Measured } from "../../quantity/measured.ts";
import { aboveZero, type UncertainInput, zeroOrMore } from "../../uncertainty/propagate.ts";
import { AIR_GAMMA } from "../air.ts";
import type { FillMeans } from "./fill-tank.ts";
import type { OpeningPoint } from "./opening-curve.ts";
import {
  type GasKind,
  OPTIONAL_RAM_INPUTS,
  type OptionalRamInput,
  type RamInputs,
  type ValveInputs,
} from "./ram-inputs.ts";

interface MeasuredValve {
  readonly conductance: Measured;
  readonly criticalRatio: Measured;
}

/**
 * A ram, its load and the air as a person measured them: RamInputs with a standard
 * uncertainty on each number.
 */
export interface MeasuredRam extends Readonly<Partial<Record<OptionalRamInput, Measured | undefined>>> {
  readonly tankVolumeM3: Measured;
  readonly gaugePressurePa: Measured;
  readonly airPressurePa: Measured;
  readonly temperatureK: Measured;
  readonly boreM: Measured;
  readonly strokeM: Measured;
  readonly deadVolumeM3: Measured;
  readonly valve: MeasuredValve;
  readonly openingS: Measured;
  readonly openingCurve?: readonly OpeningPoint[] | undefined;
  readonly moreValves?:
    | readonly { readonly valve: MeasuredValve; readonly openingS: Measured; readonly delayS: Measured }[]
    | undefined;
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
  /** m/s; only an airframe with a drag area feels it. */
  readonly headwindMPerS?: Measured | undefined;
  /** K, of the air in the tank; the air's when left out. */
  readonly tankTemperatureK?: Measured | undefined;
  /** Whether the airframe may leave before the end of the stroke; left out, it may. */
  readonly hold?: RamHold | undefined;
  readonly gas: GasKind;
  readonly polytropicExponent?: Measured | undefined;
  /** What the push does not depend on: how the airframe sits, the stop after it and the filling before it. */
  readonly pushBelowM?: Measured | undefined;
  readonly cradleStiffness?: Measured | undefined;
  readonly cradleDamping?: Measured | undefined;
  readonly lastSupportM?: Measured | undefined;
  readonly lastSupportBehindM?: Measured | undefined;
  readonly endStop?: { readonly bufferTravelM: Measured; readonly ratedLoadN: number | null } | undefined;
  readonly baseRatedLoadN?: number | null | undefined;
  readonly fill?: FillMeans<Measured> | undefined;
}

/**
 * How the airframe sits on the ram: "rests" against what pushes it, free to leave, or is held by a "latch"
 * until the end of the stroke.
 */
export type RamHold = "rests" | "latch";

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
const HEADWIND = "headwindMPerS";
const PLAIN = [...ABOVE_ZERO, ...ZERO_OR_MORE, ...ANY] as const;

/**
 * The numbers the push depends on as a list for propagation, with the limits within which the model
 * may be asked. Names are the session's paths within the launcher, e.g. "moreValves.0.delayS";
 * order as in `ramInputsOf`.
 */
export function uncertainInputs(ram: MeasuredRam): readonly UncertainInput[] {
  const rod = ram.rodChamber;
  return [
    ...ABOVE_ZERO.map((name) => aboveZero(name, ram[name])),
    ...ZERO_OR_MORE.map((name) => zeroOrMore(name, ram[name])),
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
    ...(ram.moreValves ?? []).flatMap(({ valve, openingS, delayS }, i) => [
      ...valveList(`moreValves.${i}.valve`, valve),
      zeroOrMore(`moreValves.${i}.openingS`, openingS),
      zeroOrMore(`moreValves.${i}.delayS`, delayS),
    ]),
    ...OPTIONAL_RAM_INPUTS.flatMap((name) => {
      const measured = ram[name];
      return measured ? [zeroOrMore(name, measured)] : [];
    }),
    ...(ram.dragAreaM2 && ram.headwindMPerS ? [{ name: HEADWIND, ...ram.headwindMPerS }] : []),
    ...(ram.tankTemperatureK ? [aboveZero("tankTemperatureK", ram.tankTemperatureK)] : []),
    ...(ram.gas === "polytropic" && ram.polytropicExponent
      ? [exponentInput("polytropicExponent", ram.polytropicExponent)]
      : []),
  ];
}

/** RamInputs from the values of `uncertainInputs`, in its order. */
export function ramInputsOf(ram: MeasuredRam, values: readonly number[]): RamInputs {
  const at = {} as Record<(typeof PLAIN)[number], number>;
  for (let i = 0; i < PLAIN.length; i++) at[PLAIN[i]] = values[i];
  const { movingMassKg, airframeMassKg, ...plain } = at;
  let next = PLAIN.length;
  const take = () => values[next++];
  const takeValve = (): ValveInputs => ({ conductance: take(), criticalRatio: take() });
  const valve = takeValve();
  const rodChamber = ram.rodChamber ? { rodDiameterM: take(), volumeM3: take(), vent: takeValve() } : null;
  const moreValves = ram.moreValves?.map(() => ({ valve: takeValve(), openingS: take(), delayS: take() }));
  const optional: Partial<Record<OptionalRamInput, number | undefined>> = {};
  for (const name of OPTIONAL_RAM_INPUTS) optional[name] = ram[name] && take();
  const headwindMPerS = ram.dragAreaM2 && ram.headwindMPerS ? take() : undefined;
  const tankTemperatureK = ram.tankTemperatureK ? take() : undefined;
  const polytropicExponent = ram.gas === "polytropic" && ram.polytropicExponent ? take() : undefined;
  return {
    ...plain,
    totalMassKg: movingMassKg + airframeMassKg,
    looseMassKg: ram.hold === "latch" ? 0 : airframeMassKg,
    valve,
    openingCurve: ram.openingCurve,
    moreValves,
    ...optional,
    headwindMPerS,
    tankTemperatureK,
    rodChamber,
    gas: ram.gas,
    polytropicExponent,
  };
}

/** A launcher with what a shot brings along: its airframe, its air, the pressure of its tank. */
export function loadedRam(
  launcher: Omit<MeasuredRam, keyof RamLoad | "dragAreaM2">,
  airframe: { readonly dragAreaM2?: Measured | null | undefined },
  airframeMassKg: Measured,
  gaugePressurePa: Measured,
  { temperatureK, airPressurePa, headwindMPerS, tankTemperatureK }: RamAir,
): MeasuredRam {
  return {
    ...launcher,
    airframeMassKg,
    gaugePressurePa,
    temperatureK,
    airPressurePa,
    headwindMPerS,
    tankTemperatureK: tankTemperatureK ?? undefined,
    dragAreaM2: airframe.dragAreaM2 ?? undefined,
  };
}

interface RamAir extends Pick<MeasuredRam, "temperatureK" | "airPressurePa" | "headwindMPerS"> {
  readonly tankTemperatureK?: Measured | null | undefined;
}

type RamLoad = Pick<
  MeasuredRam,
  | "airframeMassKg"
  | "gaugePressurePa"
  | "temperatureK"
  | "airPressurePa"
  | "headwindMPerS"
  | "tankTemperatureK"
>;

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

/** An exponent outside 1 to γ stands as it is: the model's check refuses it by name. */
function exponentInput(name: string, measured: Measured): UncertainInput {
  return {
    name,
    ...measured,
    low: Math.min(1, measured.value),
    high: Math.max(AIR_GAMMA, measured.value),
  };
}
