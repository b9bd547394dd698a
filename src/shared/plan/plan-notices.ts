import type { UnitSet } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { CameraPlanInput } from "./plan-input.ts";
import { plannedNumber } from "./planned-number.ts";
import type { SimulatedMeasurement } from "./predicted-u.ts";

/** What the camera sees of the shot, before anything is measured. */
export interface SeenOfShot {
  /** m, width and height of the picture in the flight plane. */
  readonly fieldM: readonly [width: number, height: number];
  readonly scaleMPerPx: number;
  /** px, smear of the airframe at release, and the length up to which marks are sharp. */
  readonly blurPx: number;
  readonly blurLimitPx: number;
  readonly exposureThatWouldDoS: number;
  readonly pushS: number;
  readonly framesInPush: number;
  readonly pushFits: boolean;
  /** Frames after release until a marked point leaves the picture, and how many of them are marked. */
  readonly flightFramesInView: number;
  readonly flightFramesMarked: number;
  /** Whether the push and all the flight to be marked are in the picture. */
  readonly flightFits: boolean;
  /** m, width of a picture that would hold them. */
  readonly fieldThatWouldDoM: number;
}

/** Frames of the push below which the fit cannot tell release from first motion, so that a speed comes out too low. */
export const FEWEST_PUSH = 8;
/** Frames after release that the fit needs. */
export const FEWEST_FLIGHT = 6;
const SAFE_PUSH = 12; // half as many again: a shot harder than expected has a shorter push
const SAFE_REST = 6; // frames at rest, for the start of motion to be seen

/** What is wrong or doubtful with the set-up itself. A refusal: measuring would give nothing, or something wrong. */
export function setUpNotices(
  input: CameraPlanInput,
  seen: SeenOfShot,
  units: UnitSet = "SI",
): readonly Notice[] {
  return [
    ...pushNotices(input, seen),
    ...viewNotices(input, seen, units),
    ...flightNotices(input, seen, units),
    ...rodNotices(input, seen, units),
    ...(seen.blurPx > seen.blurLimitPx
      ? [
          notice(
            "warning",
            "blurred",
            `At release the airframe smears over ${seen.blurPx.toFixed(1)} px while a frame is exposed; marks are sharp up to ${seen.blurLimitPx} px.`,
            `Expose for 1/${Math.ceil(1 / seen.exposureThatWouldDoS)} s or less, with more light.`,
          ),
        ]
      : []),
    ...(input.restFrames < SAFE_REST
      ? [
          notice(
            "warning",
            "little-rest",
            `Only ${input.restFrames} frames at rest are to be marked, so first motion and stroke are not well seen.`,
            `Mark ${SAFE_REST} or more frames before the airframe starts to move.`,
          ),
        ]
      : []),
  ];
}

/** Why none of the simulated shots, or not all, could be measured. */
export function fieldNotices(measured: readonly SimulatedMeasurement[]): readonly Notice[] {
  const failed = measured.filter(({ results }) => results === null);
  const refusal = failed.flatMap(({ notices }) => notices.filter(({ level }) => level === "refusal"))[0];
  if (failed.length === 0) return [];
  if (failed.length === measured.length) {
    return refusal === undefined
      ? [
          notice(
            "refusal",
            "not-measurable",
            "The simulated shots could not be measured.",
            "Film at a higher rate, or mark more frames.",
          ),
        ]
      : [refusal];
  }
  return [
    notice(
      "warning",
      "sometimes-not-measurable",
      `${failed.length} of ${measured.length} simulated shots could not be measured. ${refusal?.cause ?? ""}`.trim(),
      refusal?.remedy ?? "Film at a higher rate, or mark more frames.",
    ),
  ];
}

/** Why the expected shot cannot be. */
export function impossiblePush(
  { code, numbers }: Refusal<"peak-impossible" | "time-impossible">,
  units: UnitSet = "SI",
): Notice {
  const [least, most] = [numbers.least ?? 0, numbers.most ?? 0];
  return code === "peak-impossible"
    ? notice(
        "refusal",
        code,
        "A push that rises from nothing cannot reach this speed in this stroke with this peak acceleration.",
        `Give a peak acceleration from ${plannedNumber(least, "m/s²", units, "up")} to ${plannedNumber(most, "m/s²", units, "down")}, or another speed or stroke.`,
      )
    : notice(
        "refusal",
        code,
        "A push that rises from nothing cannot reach this speed in this stroke in this time.",
        `Give a push time from ${plannedNumber(least, "s", units, "up")} to ${plannedNumber(most, "s", units, "down")}, or another speed or stroke.`,
      );
}

function pushNotices(
  { captureRateHz }: CameraPlanInput,
  { framesInPush, pushS }: SeenOfShot,
): readonly Notice[] {
  if (framesInPush >= SAFE_PUSH) return [];
  const tooFew = framesInPush < FEWEST_PUSH;
  const needed = tooFew ? FEWEST_PUSH : SAFE_PUSH;
  const rate = Math.ceil(needed / pushS);
  return [
    notice(
      tooFew ? "refusal" : "warning",
      tooFew ? "too-few-push-frames" : "few-push-frames",
      `At ${Number(captureRateHz.value.toPrecision(4))} frames/s the push of ${(1000 * pushS).toFixed(0)} ms shows in ${framesInPush} frames only; ${
        tooFew
          ? `release and speed need ${FEWEST_PUSH} or more`
          : `a harder shot than expected may leave fewer than the ${FEWEST_PUSH} that are needed`
      }.`,
      `Film at ${rate} frames/s or more, which gives ${needed}.`,
    ),
  ];
}

function viewNotices({ shot }: CameraPlanInput, seen: SeenOfShot, units: UnitSet): readonly Notice[] {
  if (seen.pushFits) return [];
  const [width, height] = seen.fieldM;
  return [
    notice(
      "refusal",
      "push-leaves-picture",
      `The picture, ${plannedNumber(width, "m", units)} by ${plannedNumber(height, "m", units)} in the flight plane, does not hold the push of ${plannedNumber(shot.strokeM, "m", units)}: the airframe leaves it before release.`,
      wider(seen, units),
    ),
  ];
}

function flightNotices(input: CameraPlanInput, seen: SeenOfShot, units: UnitSet): readonly Notice[] {
  if (!seen.pushFits) return [];
  if (input.flightFrames < FEWEST_FLIGHT) {
    return [
      notice(
        "refusal",
        "too-few-flight-frames",
        `Only ${input.flightFrames} frames after release are to be marked; ${FEWEST_FLIGHT} or more are needed.`,
        `Mark ${FEWEST_FLIGHT} or more frames of the flight, better 20.`,
      ),
    ];
  }
  if (seen.flightFits) return [];
  const few = seen.flightFramesInView < FEWEST_FLIGHT;
  return [
    notice(
      few ? "refusal" : "warning",
      few ? "too-little-flight-in-picture" : "flight-leaves-picture",
      `The airframe leaves the picture ${seen.flightFramesInView} frames after release; ${
        few ? `${FEWEST_FLIGHT} or more are needed` : `${input.flightFrames} were to be marked`
      }.`,
      few
        ? `${wider(seen, units)} A higher capture rate shows more frames too.`
        : `${wider(seen, units)} Or make do with the ${seen.flightFramesInView} that it shows, as this plan does.`,
    ),
  ];
}

function rodNotices({ rodM }: CameraPlanInput, { fieldM }: SeenOfShot, units: UnitSet): readonly Notice[] {
  if (rodM.value <= fieldM[0]) return [];
  return [
    notice(
      "refusal",
      "rod-beyond-picture",
      `The scale rod of ${plannedNumber(rodM.value, "m", units)} is longer than the picture is wide (${plannedNumber(fieldM[0], "m", units)}), so its ends cannot both be picked.`,
      `Use a rod of ${plannedNumber(0.95 * fieldM[0], "m", units, "down")} or less, or show a wider field.`,
    ),
  ];
}

function wider({ fieldThatWouldDoM }: SeenOfShot, units: UnitSet): string {
  return `Show a field ${plannedNumber(fieldThatWouldDoM, "m", units, "up")} wide or more: stand back, or zoom out.`;
}

function notice(level: Notice["level"], code: string, cause: string, remedy: string): Notice {
  return { level, code, cause, remedy };
}
