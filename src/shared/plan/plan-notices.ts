import type { UnitSet } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import { type CodeOf, noticeCatalogue, refusal, type Told, warning } from "../quantity/notice-catalogue.ts";
import type { Refusal } from "../quantity/result.ts";
import { shorterExposure } from "../shot/notices/clock-notices.ts";
import type { ShotNotice } from "../shot/notices/shot-notices.ts";
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

const MORE_FRAMES = "Film at a higher rate, or mark more frames.";

/** What is said of a camera set-up. Lengths, times and accelerations come in as they are shown. */
export const PLAN_NOTICES = noticeCatalogue(
  { about: "plan" },
  {
    "peak-impossible": (least: string, most: string) =>
      refusal(
        "A push that rises from nothing cannot reach this speed in this stroke with this peak acceleration.",
        `Give a peak acceleration from ${least} to ${most}, or another speed or stroke.`,
      ),
    "time-impossible": (least: string, most: string) =>
      refusal(
        "A push that rises from nothing cannot reach this speed in this stroke in this time.",
        `Give a push time from ${least} to ${most}, or another speed or stroke.`,
      ),
    "too-few-push-frames": (push: PushInFrames) =>
      refusal(
        `${pushShows(push)}; release and speed need ${FEWEST_PUSH} or more.`,
        filmFaster(push, FEWEST_PUSH),
      ),
    "few-push-frames": (push: PushInFrames) =>
      warning(
        `${pushShows(push)}; a harder shot than expected may leave fewer than the ${FEWEST_PUSH} that are needed.`,
        filmFaster(push, SAFE_PUSH),
      ),
    "push-leaves-picture": (width: string, height: string, push: string, field: string) =>
      refusal(
        `The picture, ${width} by ${height} in the flight plane, does not hold the push of ${push}: the airframe leaves it before release.`,
        wider(field),
      ),
    "too-few-flight-frames": (frames: number) =>
      refusal(
        `Only ${frames} frames after release are to be marked; ${FEWEST_FLIGHT} or more are needed.`,
        `Mark ${FEWEST_FLIGHT} or more frames of the flight, better 20.`,
      ),
    "too-little-flight-in-picture": (inView: number, field: string) =>
      refusal(
        `The airframe leaves the picture ${inView} frames after release; ${FEWEST_FLIGHT} or more are needed.`,
        `${wider(field)} A higher capture rate shows more frames too.`,
      ),
    "flight-leaves-picture": (inView: number, toMark: number, field: string) =>
      warning(
        `The airframe leaves the picture ${inView} frames after release; ${toMark} were to be marked.`,
        `${wider(field)} Or make do with the ${inView} that it shows, as this plan does.`,
      ),
    "rod-beyond-picture": (rod: string, width: string, longest: string) =>
      refusal(
        `The scale rod of ${rod} is longer than the picture is wide (${width}), so its ends cannot both be picked.`,
        `Use a rod of ${longest} or less, or show a wider field.`,
      ),
    blurred: (blurPx: number, limitPx: number, exposureThatWouldDoS: number) =>
      warning(
        `At release the airframe smears over ${blurPx.toFixed(1)} px while a frame is exposed; marks are sharp up to ${limitPx} px.`,
        shorterExposure(exposureThatWouldDoS),
      ),
    "little-rest": (frames: number) =>
      warning(
        `Only ${frames} frames at rest are to be marked, so first motion and stroke are not well seen.`,
        `Mark ${SAFE_REST} or more frames before the airframe starts to move.`,
      ),
    "not-measurable": () => refusal("The simulated shots could not be measured.", MORE_FRAMES),
    /** @param refusal of one of those that failed, where there is one */
    "sometimes-not-measurable": (failed: number, of: number, refused: Told | undefined) =>
      warning(
        `${failed} of ${of} simulated shots could not be measured. ${refused?.cause ?? ""}`.trim(),
        refused?.remedy ?? MORE_FRAMES,
      ),
  },
);
export type PlanNotice = Notice<CodeOf<typeof PLAN_NOTICES>> | ShotNotice;

interface PushInFrames {
  readonly captureRateHz: number;
  readonly pushS: number;
  readonly framesInPush: number;
}

function pushShows({ captureRateHz, pushS, framesInPush }: PushInFrames): string {
  return `At ${Number(captureRateHz.toPrecision(4))} frames/s the push of ${(1000 * pushS).toFixed(0)} ms shows in ${framesInPush} frames only`;
}

function filmFaster({ pushS }: PushInFrames, frames: number): string {
  return `Film at ${Math.ceil(frames / pushS)} frames/s or more, which gives ${frames}.`;
}

function wider(field: string): string {
  return `Show a field ${field} wide or more: stand back, or zoom out.`;
}

/** What is wrong or doubtful with the set-up itself. A refusal: measuring would give nothing, or something wrong. */
export function setUpNotices(
  input: CameraPlanInput,
  seen: SeenOfShot,
  units: UnitSet = "SI",
): readonly PlanNotice[] {
  const { blurPx, blurLimitPx, exposureThatWouldDoS } = seen;
  return [
    ...pushNotices(input, seen),
    ...viewNotices(input, seen, units),
    ...flightNotices(input, seen, units),
    ...rodNotices(input, seen, units),
    ...(blurPx > blurLimitPx ? [PLAN_NOTICES.blurred(blurPx, blurLimitPx, exposureThatWouldDoS)] : []),
    ...(input.restFrames < SAFE_REST ? [PLAN_NOTICES["little-rest"](input.restFrames)] : []),
  ];
}

/** Why none of the simulated shots, or not all, could be measured. */
export function fieldNotices(measured: readonly SimulatedMeasurement[]): readonly PlanNotice[] {
  const failed = measured.filter(({ results }) => results === null);
  const refused = failed.flatMap(({ notices }) => notices.filter(({ level }) => level === "refusal"))[0];
  if (failed.length === 0) return [];
  if (failed.length === measured.length) return [refused ?? PLAN_NOTICES["not-measurable"]()];
  return [PLAN_NOTICES["sometimes-not-measurable"](failed.length, measured.length, refused)];
}

/** Why the expected shot cannot be. */
export function impossiblePush(
  { code, numbers }: Refusal<"peak-impossible" | "time-impossible">,
  units: UnitSet = "SI",
): PlanNotice {
  const unit = code === "peak-impossible" ? "m/s²" : "s";
  return PLAN_NOTICES[code](
    plannedNumber(numbers.least ?? 0, unit, units, "up"),
    plannedNumber(numbers.most ?? 0, unit, units, "down"),
  );
}

function pushNotices({ captureRateHz }: CameraPlanInput, seen: SeenOfShot): readonly PlanNotice[] {
  const { framesInPush, pushS } = seen;
  if (framesInPush >= SAFE_PUSH) return [];
  const code = framesInPush < FEWEST_PUSH ? "too-few-push-frames" : "few-push-frames";
  return [PLAN_NOTICES[code]({ captureRateHz: captureRateHz.value, pushS, framesInPush })];
}

function viewNotices({ shot }: CameraPlanInput, seen: SeenOfShot, units: UnitSet): readonly PlanNotice[] {
  if (seen.pushFits) return [];
  const [width, height] = seen.fieldM.map((side) => plannedNumber(side, "m", units)) as [string, string];
  const push = plannedNumber(shot.strokeM, "m", units);
  return [PLAN_NOTICES["push-leaves-picture"](width, height, push, fieldThatWouldDo(seen, units))];
}

function flightNotices(input: CameraPlanInput, seen: SeenOfShot, units: UnitSet): readonly PlanNotice[] {
  if (!seen.pushFits) return [];
  if (input.flightFrames < FEWEST_FLIGHT) {
    return [PLAN_NOTICES["too-few-flight-frames"](input.flightFrames)];
  }
  if (seen.flightFits) return [];
  const { flightFramesInView: inView } = seen;
  const field = fieldThatWouldDo(seen, units);
  return [
    inView < FEWEST_FLIGHT
      ? PLAN_NOTICES["too-little-flight-in-picture"](inView, field)
      : PLAN_NOTICES["flight-leaves-picture"](inView, input.flightFrames, field),
  ];
}

function rodNotices(
  { rodM }: CameraPlanInput,
  { fieldM }: SeenOfShot,
  units: UnitSet,
): readonly PlanNotice[] {
  const [widthM] = fieldM;
  if (rodM.value <= widthM) return [];
  return [
    PLAN_NOTICES["rod-beyond-picture"](
      plannedNumber(rodM.value, "m", units),
      plannedNumber(widthM, "m", units),
      plannedNumber(0.95 * widthM, "m", units, "down"),
    ),
  ];
}

function fieldThatWouldDo({ fieldThatWouldDoM }: SeenOfShot, units: UnitSet): string {
  return plannedNumber(fieldThatWouldDoM, "m", units, "up");
}
