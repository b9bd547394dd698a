import type { CauseFamily, StatedModel } from "../../compare/cause-fit.ts";
import type { ModelMotion } from "../../compare/model-motion.ts";
import type { ResidualCause } from "../../compare/read-residual.ts";
import { predictRam } from "../../launch/ram/predict-ram.ts";
import { ramAreas } from "../../launch/ram/ram-areas.ts";
import { ramInputProblem } from "../../launch/ram/ram-checks.ts";
import type { RamInputs } from "../../launch/ram/ram-inputs.ts";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../../launch/ram/ram-measured.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import { showMeasured, type UnitSet } from "../../quantity/display.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import type { JointInputs } from "../../uncertainty/joint-inputs.ts";
import type { ResidualSignatures } from "../residual-signatures.ts";

const TOLERANCE = 1e-5; // positions then err by a micrometre or two, far below any mark
const SAMPLES = 80; // of the push; a cubic between them errs by nanometres

/**
 * Signatures of the ram model for one shot, by running it once for each uncertain input and four times
 * or so for each cause: valve slower or quicker to open, valve passing less or more, friction, rod
 * side's vent choked, leak past the piston, moving mass, tank's pressure. A size that keeps the ram
 * from launching is left out.
 * @param joint inputs, by name, whose errors are correlated since they were tuned: the model is run once for
 *   each of their directions
 * @returns null when the ram does not launch at the stated inputs
 */
export function ramSignatures(
  ram: MeasuredRam,
  units: UnitSet,
  joint: JointInputs | null = null,
): ResidualSignatures | null {
  const base = ramInputsOf(
    ram,
    uncertainInputs(ram).map(({ value }) => value),
  );
  const motion = motionOf(base);
  if (motion === null) return null;
  const doubt = { ram, joint };
  const stated: StatedModel = { motion, inputs: movedInputs(doubt, (now) => now).filter(hasMoved) };
  const causes = plansOf(base, joint === null ? "stated" : "tuned").flatMap((plan): ResidualCause[] => {
    const family = familyOf(base, motion, plan);
    if (family.length < 3) return [];
    return [
      {
        code: plan.code,
        family,
        inputs: plan.inputs,
        statedU: statedUOf(ram, plan),
        shown: (size) => ({ size: plan.toShown(size), unit: plan.unit }),
        words: (size) => plan.words(size, units),
        around: (size, reach) => aroundOf(doubt, base, plan, stated, size, reach),
      },
    ];
  });
  return { stated, causes };
}

interface Moved {
  readonly name: string;
  readonly moved: ModelMotion | null;
}

function hasMoved(one: Moved): one is { readonly name: string; readonly moved: ModelMotion } {
  return one.moved !== null;
}

/** The ram as measured, and which of its inputs err together. */
interface Doubt {
  readonly ram: MeasuredRam;
  readonly joint: JointInputs | null;
}

/**
 * Each uncertain input moved by its u, and each direction of joint ones by one, after a change to the inputs.
 */
function movedInputs({ ram, joint }: Doubt, change: (inputs: RamInputs) => RamInputs): readonly Moved[] {
  const list = uncertainInputs(ram);
  const values = list.map(({ value }) => value);
  const single = list.flatMap(({ name, value, u, high = Number.POSITIVE_INFINITY }, i) => {
    if (!(u > 0) || joint?.names.includes(name)) return [];
    // Where the limit stands in the way the other side serves as well: the fit's z has no sign of its own.
    const to = value + u <= high ? value + u : value - u;
    return [{ name, moved: motionOf(change(ramInputsOf(ram, values.with(i, to)))) }];
  });
  const together = (joint?.directions ?? []).map((direction, k) => {
    const to = list.map(({ name, value, low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY }) =>
      Math.min(high, Math.max(low, value + (direction[joint!.names.indexOf(name)] ?? 0))),
    );
    return { name: `joint ${k}`, moved: motionOf(change(ramInputsOf(ram, to))) };
  });
  return [...single, ...together];
}

/** The same inputs moved, and the cause a reach to either side, about the cause at play by a size. */
function aroundOf(
  doubt: Doubt,
  base: RamInputs,
  plan: Plan,
  { inputs }: StatedModel,
  size: number,
  reach: number,
): { readonly stated: StatedModel; readonly family: CauseFamily } | null {
  const motion = motionOf(plan.at(base, size));
  if (motion === null) return null;
  const moved = movedInputs(doubt, (now) => plan.at(now, size)).filter(hasMoved);
  if (moved.length !== inputs.length) return null;
  const limits = [0, ...plan.sizes];
  const sizes = [size - reach, size + reach].map((one) =>
    Math.min(Math.max(one, Math.min(...limits)), Math.max(...limits)),
  );
  const family = familyOf(base, motion, plan, size, sizes);
  return family.length < 2 ? null : { stated: { motion, inputs: moved }, family };
}

interface Plan {
  readonly code: string;
  readonly inputs: readonly string[];
  /** Whether its size is a share (ln of stated over true) of its input. */
  readonly byShare?: true;
  /** Apart from 0, increasing. */
  readonly sizes: readonly number[];
  at(base: RamInputs, size: number): RamInputs;
  readonly unit: Unit;
  toShown(size: Measured): Measured;
  words(size: Measured, units: UnitSet): string;
}

/**
 * In the cause's own size; several inputs together by the root of squares, and those of a share relative to
 * their value.
 */
function statedUOf(ram: MeasuredRam, { inputs, byShare }: Plan): number | undefined {
  const stated = uncertainInputs(ram).filter(({ name, u }) => inputs.includes(name) && u > 0);
  const u = Math.hypot(...stated.map((one) => (byShare ? one.u / one.value : one.u)));
  return stated.length === 0 || !(u < Number.POSITIVE_INFINITY) ? undefined : u;
}

const asItIs = (size: Measured) => size;

function plansOf(base: RamInputs, held: "stated" | "tuned"): readonly Plan[] {
  const { openingS, slidingN, totalMassKg, gaugePressurePa, rodChamber } = base;
  const force = gaugePressurePa * ramAreas(base).drive;
  const slower = Math.max(0.006, openingS / 3);
  return [
    {
      code: "valve-opening",
      inputs: ["openingS"],
      sizes: [-openingS, -openingS / 2, slower, 2 * slower].filter((s) => s !== 0),
      at: (now, s) => ({ ...now, openingS: Math.max(0, openingS + s) }),
      unit: "s",
      toShown: asItIs,
      words: (size) =>
        `the valve takes ${inMs(size)} ${size.value > 0 ? "longer" : "less"} to open than ${held}`,
    },
    {
      code: "valve-flow",
      inputs: ["valve.conductance"],
      byShare: true,
      sizes: [-0.4, -0.2, 0.25, 0.6], // ln of stated over true
      at: (now, s) => ({
        ...now,
        valve: { ...now.valve, conductance: now.valve.conductance * Math.exp(-s) },
      }),
      unit: "1",
      toShown: asShare,
      words: (size) =>
        `the valve passes ${inPercent(asShare(size))} ${size.value > 0 ? "less" : "more"} air than ${held}`,
    },
    {
      code: "friction",
      inputs: ["slidingN", "breakawayN"],
      sizes: [-slidingN, -slidingN / 2, force / 12, force / 5].filter((s) => s !== 0),
      at: (now, s) => ({
        ...now,
        slidingN: Math.max(0, now.slidingN + s),
        breakawayN: Math.max(0, now.breakawayN + s),
      }),
      unit: "N",
      toShown: asItIs,
      words: (size) =>
        `friction is ${shownSize(size, "N", "SI")} ${size.value > 0 ? "more" : "less"} than ${held}`,
    },
    ...(rodChamber === null ? [] : [ventPlan(rodChamber.vent.conductance, held)]),
    leakPlan(base, held),
    {
      code: "moving-mass",
      inputs: ["movingMassKg", "airframeMassKg"],
      sizes: [-0.3, -0.15, 0.2, 0.4].map((part) => part * totalMassKg),
      at: (now, s) => withMass(now, now.totalMassKg + s),
      unit: "kg",
      toShown: asItIs,
      words: (size, units) =>
        `${shownSize(size, "kg", units)} ${size.value > 0 ? "more" : "less"} than ${held} is moving`,
    },
    {
      code: "tank-pressure",
      inputs: ["gaugePressurePa"],
      sizes: [-0.3, -0.15, 0.15, 0.3].map((part) => part * gaugePressurePa),
      at: (now, s) => ({ ...now, gaugePressurePa: now.gaugePressurePa - s }),
      unit: "Pa",
      toShown: asItIs,
      words: (size, units) =>
        `the tank held ${shownSize(size, "Pa", units)} ${size.value > 0 ? "less" : "more"} than read`,
    },
  ];
}

/** Of another total mass; what rests against the ram is at most that. */
function withMass(now: RamInputs, totalMassKg: number): RamInputs {
  return { ...now, totalMassKg, looseMassKg: Math.min(now.looseMassKg ?? 0, totalMassKg) };
}

/** The rod side's air held back: only ever less flow than stated. */
function ventPlan(stated: number, held: string): Plan {
  return {
    code: "rod-side-vent",
    inputs: ["rodChamber.vent.conductance"],
    byShare: true,
    // ln of stated over true; close enough for the bend where the airframe begins to leave early
    sizes: [0.4, 0.8, 1.2, 1.8, 2.5],
    at: (now, s) => ({
      ...now,
      rodChamber: now.rodChamber && {
        ...now.rodChamber,
        vent: { ...now.rodChamber.vent, conductance: stated * Math.exp(-s) },
      },
    }),
    unit: "1",
    toShown: asShare,
    words: (size) =>
      `the rod side's vent is choked: it passes ${inPercent(asShare(size))} less air than ${held}`,
  };
}

/** Air lost past the piston, as a share of what the valve passes. */
function leakPlan({ leak = 0, valve }: RamInputs, held: string): Plan {
  return {
    code: "leak",
    inputs: ["leak"],
    sizes: [0.08, 0.16, 0.3],
    at: (now, s) => ({ ...now, leak: leak + s * valve.conductance }),
    unit: "1",
    toShown: asItIs,
    words: (size) =>
      `air leaks past the piston, ${leak > 0 ? `more than ${held} by ` : ""}${inPercent(size)} of what the valve passes`,
  };
}

/** @param motion of the size `from`  @param sizes others */
function familyOf(
  base: RamInputs,
  motion: ModelMotion,
  { sizes, at }: Plan,
  from = 0,
  others = sizes,
): CauseFamily {
  const members = others.flatMap((size) => {
    const moved = size === from ? null : motionOf(at(base, size));
    return moved === null ? [] : [{ size, motion: moved }];
  });
  return [...members, { size: from, motion }].sort((a, b) => a.size - b.size);
}

function motionOf(inputs: RamInputs): ModelMotion | null {
  if (ramInputProblem(inputs)) return null;
  const result = ifIntegrable(() => predictRam(inputs, { relTol: TOLERANCE }));
  if (!result?.ok) return null;
  const { exitS, motionAt } = result.value;
  const states = Array.from({ length: SAMPLES + 1 }, (_, i) => motionAt((exitS * i) / SAMPLES));
  return {
    timeS: states.map(({ timeS }) => timeS),
    position: states.map(({ positionM }) => positionM),
    speed: states.map(({ speedMPerS }) => speedMPerS),
    acceleration: states.map(({ accelerationMPerS2 }) => accelerationMPerS2),
  };
}

/** The share by which something is less, from ln of stated over true. */
function asShare({ value, u }: Measured): Measured {
  return { value: 1 - Math.exp(-value), u: Math.exp(-value) * u };
}

function magnitude({ value, u }: Measured, factor = 1): Measured {
  return { value: Math.abs(value) * factor, u: u * factor };
}

function inMs(size: Measured): string {
  return `${showMeasured(magnitude(size, 1e3), "1").text} ms`;
}

function inPercent(size: Measured): string {
  return `${showMeasured(magnitude(size, 100), "1").text} %`;
}

function shownSize(size: Measured, unit: Unit, units: UnitSet): string {
  return showMeasured(magnitude(size), unit, units).text;
}
