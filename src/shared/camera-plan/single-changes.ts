import type { UnitSet } from "../quantity/display.ts";
import type { CameraPlanInput } from "./plan-input.ts";
import { plannedNumber, threeDigits } from "./planned-number.ts";
import type { PlannedView } from "./planned-view.ts";

export type ChangeId =
  | "double-rate"
  | "half-field"
  | "half-mark-error"
  | "half-exposure"
  | "one-more-point"
  | "wider-points"
  | "double-flight"
  | "longer-rod"
  | "better-rod"
  | "better-picks"
  | "better-plane"
  | "better-rate"
  | "better-balance"
  | "longer-plumb";

/** One thing a person could do differently, everything else unchanged. */
export interface SingleChange {
  readonly id: ChangeId;
  /** To follow "it helps most to": "film at 480 frames/s". */
  readonly words: string;
  /** The set-up so changed, or why it cannot be. */
  readonly changed: CameraPlanInput | { readonly whyNot: string };
  /**
   * Whether the marks themselves change; else only what is common to all of them does, and
   * one simulated shot tells.
   */
  readonly ofMarks: boolean;
}

const ROD_OF_FIELD = 0.95; // a rod must be seen whole
const PLUMB_OF_FIELD = 0.9;
const WORTH_DOING = 1.1; // a change by less than a tenth is none

/**
 * The changes that are tried. A doubling that the picture does not allow goes as far as it does allow.
 * @param units what the words speak in; tolerances are in millimetres either way
 */
export function singleChanges(
  input: CameraPlanInput,
  view: PlannedView,
  units: UnitSet = "SI",
): readonly SingleChange[] {
  const { captureRateHz: rate, rodM, points } = input;
  return [
    {
      id: "double-rate",
      words: `film at ${threeDigits(2 * rate.value)} frames/s with the same picture, and mark the same time`,
      changed: {
        ...input,
        captureRateHz: { value: 2 * rate.value, u: 2 * rate.u },
        exposureS: Math.min(input.exposureS, 1 / (2 * rate.value)),
        restFrames: 2 * input.restFrames,
        flightFrames: 2 * Math.min(input.flightFrames, view.flightFramesInView),
      },
      ofMarks: true,
    },
    halfField(input, view, units),
    {
      id: "half-mark-error",
      words: `place the marks to ${threeDigits(input.markPx / 2)} px (more zoom, or clearer targets on the airframe)`,
      changed: { ...input, markPx: input.markPx / 2 },
      ofMarks: true,
    },
    {
      id: "half-exposure",
      words: `expose for 1/${threeDigits(2 / input.exposureS)} s, with more light`,
      changed:
        input.smearShare > 0
          ? { ...input, exposureS: input.exposureS / 2 }
          : { whyNot: "the marks are taken not to suffer from the smear" },
      ofMarks: true,
    },
    {
      id: "one-more-point",
      words: `mark ${points + 1} points on the airframe`,
      changed: points < 12 ? { ...input, points: points + 1 } : { whyNot: "there are many already" },
      ofMarks: true,
    },
    {
      id: "wider-points",
      words: `put the outer points ${plannedNumber(1.5 * input.spacingM, "m", units)} apart`,
      changed: { ...input, spacingM: 1.5 * input.spacingM },
      ofMarks: true,
    },
    doubleFlight(input, view),
    longer(
      { id: "longer-rod", words: "use a scale rod of", units },
      input,
      rodM.value,
      ROD_OF_FIELD * view.fieldM[0],
      (value) => ({ rodM: { ...rodM, value } }),
    ),
    better("better-rod", "measure the scale rod to", input, 1000 * rodM.u, "mm", {
      rodM: { ...rodM, u: rodM.u / 2 },
    }),
    better("better-picks", "pick the ends of rod and plumb to", input, input.pickPx, "px", {
      pickPx: input.pickPx / 2,
    }),
    better(
      "better-plane",
      "hold the scale rod in the plane of the flight to",
      input,
      1000 * input.planeU,
      "mm",
      {
        planeU: input.planeU / 2,
      },
    ),
    better("better-rate", "know the capture rate (a drop or lamp check) to", input, rate.u, "Hz", {
      captureRateHz: { ...rate, u: rate.u / 2 },
    }),
    better("better-balance", "find the balance point to", input, 1000 * input.balanceU, "mm", {
      balanceU: input.balanceU / 2,
    }),
    longer(
      { id: "longer-plumb", words: "hang a plumb of", units },
      input,
      Math.min(input.plumbM, view.fieldM[1]),
      PLUMB_OF_FIELD * view.fieldM[1],
      (plumbM) => ({ plumbM }),
    ),
  ];
}

function halfField(input: CameraPlanInput, view: PlannedView, units: UnitSet): SingleChange {
  const [now] = view.fieldM;
  const least = Math.max(view.fieldThatWouldDoM, input.rodM.value / ROD_OF_FIELD);
  const fieldM = Math.max(now / 2, least);
  const limit = fieldM > now / 2 ? ", as close as push, flight and rod allow" : "";
  return {
    id: "half-field",
    words: `zoom in to a picture ${plannedNumber(fieldM, "m", units)} wide${limit}`,
    changed:
      fieldM * WORTH_DOING < now
        ? { ...input, lens: { by: "field", fieldM } }
        : { whyNot: "push, flight and rod fill the picture" },
    ofMarks: true,
  };
}

function doubleFlight(input: CameraPlanInput, view: PlannedView): SingleChange {
  const now = Math.min(input.flightFrames, view.flightFramesInView);
  const flightFrames = Math.min(2 * now, view.flightFramesInView);
  const limit = flightFrames < 2 * now ? ", all that the picture holds" : "";
  return {
    id: "double-flight",
    words: `mark ${flightFrames} frames of the flight${limit}`,
    changed:
      flightFrames >= now * WORTH_DOING && flightFrames > now
        ? { ...input, flightFrames }
        : { whyNot: `the airframe leaves the picture after ${view.flightFramesInView} frames` },
    ofMarks: true,
  };
}

function longer(
  { id, words, units }: Pick<SingleChange, "id" | "words"> & { readonly units: UnitSet },
  input: CameraPlanInput,
  now: number,
  most: number,
  patch: (value: number) => Partial<CameraPlanInput>,
): SingleChange {
  const value = Math.min(2 * now, most);
  const limit = value < 2 * now ? ", as long as the picture allows" : "";
  return {
    id,
    words: `${words} ${plannedNumber(value, "m", units)}${limit}`,
    changed: value >= now * WORTH_DOING ? { ...input, ...patch(value) } : { whyNot: "it fills the picture" },
    ofMarks: false,
  };
}

function better(
  id: ChangeId,
  words: string,
  input: CameraPlanInput,
  now: number,
  unit: string,
  patch: Partial<CameraPlanInput>,
): SingleChange {
  return {
    id,
    words: `${words} ${threeDigits(now / 2)} ${unit}`,
    changed: now > 0 ? { ...input, ...patch } : { whyNot: "it is taken as exact" },
    ofMarks: false,
  };
}
