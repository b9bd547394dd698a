import {
  CAMERA_PLAN_DEFAULTS,
  type CameraPlanInput,
  type PlanField,
  planInputFaults,
} from "../../shared/camera-plan/plan-input.ts";
import { DEGREE } from "../../shared/quantity/angle.ts";
import { UsageError } from "./verb.ts";

/** One number of the plan on the command line. */
export interface PlanOption {
  readonly name: string;
  /** What stands for the number in the help. */
  readonly unit: string;
  readonly meaning: string;
  readonly field: PlanField;
  /** SI per unit typed. */
  readonly si: number;
  /** In the unit typed; null when the option is the other way to say something. */
  readonly usual: string | null;
}

const D = CAMERA_PLAN_DEFAULTS;

function option(
  name: string,
  unit: string,
  meaning: string,
  field: PlanField,
  usual: number | string | null,
  si = 1,
): PlanOption {
  const typed = typeof usual === "number" ? String(Number((usual / si).toPrecision(6))) : usual;
  return { name, unit, meaning, field, si, usual: typed };
}

/** Every option with its usual value, taken from the plan's own. */
export const PLAN_OPTIONS: readonly PlanOption[] = [
  option("width", "PX", "width of the picture", "widthPx", D.widthPx),
  option("height", "PX", "height of the picture", "heightPx", D.heightPx),
  option("rate", "HZ", "capture rate", "captureRateHz", D.captureRateHz.value),
  option("rate-u", "HZ", "its standard uncertainty", "captureRateHz.u", D.captureRateHz.u),
  option(
    "exposure",
    "S",
    "exposure of a frame, as 1/1000 or 0.001",
    "exposureS",
    `1/${Math.round(1 / D.exposureS)}`,
  ),
  option("distance", "M", "camera to the flight", "distanceM", D.distanceM),
  option("field", "M", "width of the picture in the plane of the flight", "fieldM", fieldM()),
  option("field-angle", "DEG", "or the lens's horizontal angle of view", "fieldRad", null, DEGREE),
  option("plane-u", "M", "how well the rod is in the plane of the flight", "planeU", D.planeU),
  option("mark-error", "PX", "standard uncertainty of a mark on a sharp target", "markPx", D.markPx),
  option("smear-share", "1", "what smear adds to it, as a share of its length", "smearShare", D.smearShare),
  option("points", "N", "points marked on the airframe", "points", D.points),
  option("spacing", "M", "from the first of them to the last", "spacingM", D.spacingM),
  option("balance-u", "M", "how well the balance point is known", "balanceU", D.balanceU),
  option("rod", "M", "length of the scale rod", "rodM", D.rodM.value),
  option("rod-u", "M", "its standard uncertainty", "rodM.u", D.rodM.u),
  option("pick-error", "PX", "standard uncertainty of the picked ends of rod and plumb", "pickPx", D.pickPx),
  option("plumb", "M", "length of the plumb", "plumbM", D.plumbM),
  option("plumb-u", "DEG", "how close to vertical it hangs", "hangRad", D.hangRad, DEGREE),
  option("rest", "N", "frames marked before first motion", "restFrames", D.restFrames),
  option("flight", "N", "frames marked after release", "flightFrames", D.flightFrames),
  option("speed", "M/S", "release speed expected", "speedMPerS", D.shot.speedMPerS),
  option("stroke", "M", "travel from rest to release", "strokeM", D.shot.strokeM),
  option("peak", "M/S2", "peak acceleration expected", "peakMPerS2", peakMPerS2()),
  option("push-time", "S", "or how long the push lasts", "pushS", null),
  option("angle", "DEG", "launch angle expected", "angleRad", D.shot.angleRad, DEGREE),
  option(
    "pitch-rate",
    "DEG/S",
    "pitch rate at release expected",
    "pitchRateRadPerS",
    D.shot.pitchRateRadPerS,
    DEGREE,
  ),
];

export interface AskedPlan {
  readonly input: CameraPlanInput;
  /** Options that were not given, with the value taken: "--rate 240". */
  readonly taken: readonly string[];
}

/**
 * The plan that a command line asks for.
 * @throws UsageError naming the option that is no number, cannot be meant, or says twice what another says
 */
export function askedPlan(options: Readonly<Record<string, string | boolean | undefined>>): AskedPlan {
  for (const [one, other] of [
    ["field", "field-angle"],
    ["peak", "push-time"],
  ] as const) {
    if (options[one] !== undefined && options[other] !== undefined) {
      throw new UsageError(`--${one} and --${other} say the same thing; give one of them.`);
    }
  }
  const taken: string[] = [];
  const numbers = new Map<PlanField, number>();
  for (const { name, field, si, usual } of PLAN_OPTIONS) {
    const given = options[name];
    if (typeof given === "string") {
      numbers.set(field, si * numberOf(name, given));
      continue;
    }
    const otherWay =
      (name === "field" && options["field-angle"] !== undefined) ||
      (name === "peak" && options["push-time"] !== undefined);
    if (usual === null || otherWay) continue;
    const value = name === "exposure" ? usualExposure(usual, numbers.get("captureRateHz") ?? 1) : usual;
    numbers.set(field, si * numberOf(name, value));
    taken.push(`--${name} ${value}`);
  }
  const input = inputFrom(numbers);
  const [fault] = planInputFaults(input);
  if (fault !== undefined) {
    const wrong = PLAN_OPTIONS.find(({ field }) => field === fault.field);
    const name = wrong?.name ?? fault.field;
    throw new UsageError(`--${name} must be ${fault.needed}, not "${options[name] ?? wrong?.usual}".`);
  }
  return { input, taken };
}

function inputFrom(numbers: ReadonlyMap<PlanField, number>): CameraPlanInput {
  const of = (field: PlanField) => numbers.get(field) ?? Number.NaN;
  return {
    widthPx: of("widthPx"),
    heightPx: of("heightPx"),
    captureRateHz: { value: of("captureRateHz"), u: of("captureRateHz.u") },
    exposureS: of("exposureS"),
    distanceM: of("distanceM"),
    lens: numbers.has("fieldRad")
      ? { by: "angle", fieldRad: of("fieldRad") }
      : { by: "field", fieldM: of("fieldM") },
    planeU: of("planeU"),
    markPx: of("markPx"),
    smearShare: of("smearShare"),
    points: of("points"),
    spacingM: of("spacingM"),
    balanceU: of("balanceU"),
    rodM: { value: of("rodM"), u: of("rodM.u") },
    pickPx: of("pickPx"),
    plumbM: of("plumbM"),
    hangRad: of("hangRad"),
    restFrames: of("restFrames"),
    flightFrames: of("flightFrames"),
    shot: {
      speedMPerS: of("speedMPerS"),
      strokeM: of("strokeM"),
      push: numbers.has("pushS")
        ? { by: "time", pushS: of("pushS") }
        : { by: "peak", peakMPerS2: of("peakMPerS2") },
      angleRad: of("angleRad"),
      pitchRateRadPerS: of("pitchRateRadPerS"),
    },
  };
}

/** A decimal number, or a fraction such as 1/2000. */
function numberOf(name: string, text: string): number {
  const [top, bottom] = /^([^/]+)\/([^/]+)$/.exec(text)?.slice(1) ?? [text, "1"];
  const value = decimal(top) / decimal(bottom);
  if (!Number.isFinite(value)) throw new UsageError(`--${name} takes a number, not "${text}".`);
  return value;
}

function decimal(text: string | undefined): number {
  return text === undefined || text.trim() === "" ? Number.NaN : Number(text);
}

/** The usual exposure, or half a frame where that is shorter. */
function usualExposure(usual: string, rateHz: number): string {
  return rateHz > 0 && 1 / (2 * rateHz) < D.exposureS ? `1/${Math.ceil(2 * rateHz)}` : usual;
}

function fieldM(): number | null {
  return D.lens.by === "field" ? D.lens.fieldM : null;
}

function peakMPerS2(): number | null {
  return D.shot.push.by === "peak" ? D.shot.push.peakMPerS2 : null;
}
