import type { UnitSet } from "../quantity/display.ts";
import type { Notice } from "../quantity/notice.ts";
import { type CodeOf, noticeCatalogue, refusal, type Told, warning } from "../quantity/notice-catalogue.ts";
import type { Refusal } from "../quantity/result.ts";
import { shorterExposure } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
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

/**
 * Frames of the push below which the fit cannot tell release from first motion, so that a
 * speed comes out too low.
 */
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

/** How a set-up stands to what measuring needs. */
export interface SetUpStanding {
  readonly push: "shown" | "few-frames" | "too-few-frames";
  readonly pushInPicture: boolean;
  /**
   * too-few: marked; leaves: fewer are in the picture than were to be marked; left-at-once: fewer than are
   * needed
   */
  readonly flight: "shown" | "too-few" | "leaves" | "left-at-once";
  readonly rodInPicture: boolean;
  readonly sharp: boolean;
  readonly rest: "shown" | "little";
}

export function setUpStanding(input: CameraPlanInput, seen: SeenOfShot): SetUpStanding {
  const { framesInPush, flightFramesInView } = seen;
  return {
    push: framesInPush >= SAFE_PUSH ? "shown" : framesInPush >= FEWEST_PUSH ? "few-frames" : "too-few-frames",
    pushInPicture: seen.pushFits,
    flight:
      input.flightFrames < FEWEST_FLIGHT
        ? "too-few"
        : seen.flightFits
          ? "shown"
          : flightFramesInView < FEWEST_FLIGHT
            ? "left-at-once"
            : "leaves",
    rodInPicture: input.rodM.value <= seen.fieldM[0],
    sharp: seen.blurPx <= seen.blurLimitPx,
    rest: input.restFrames < SAFE_REST ? "little" : "shown",
  };
}

/** Whether measuring such shots gives something that is not wrong. */
export function isMeasurable({ push, pushInPicture, flight, rodInPicture }: SetUpStanding): boolean {
  const isFlightSeen = flight === "shown" || flight === "leaves";
  return push !== "too-few-frames" && pushInPicture && isFlightSeen && rodInPicture;
}

/** What is wrong or doubtful with the set-up itself. */
export function setUpNotices(
  input: CameraPlanInput,
  seen: SeenOfShot,
  standing: SetUpStanding,
  units: UnitSet = "SI",
): readonly PlanNotice[] {
  const { blurPx, blurLimitPx, exposureThatWouldDoS } = seen;
  const { push, pushInPicture, rodInPicture, sharp, rest } = standing;
  return [
    ...pushNotices(input, seen, push),
    ...(pushInPicture
      ? flightNotices(input, seen, standing.flight, units)
      : [leavesPicture(input, seen, units)]),
    ...(rodInPicture ? [] : [rodTooLong(input, seen, units)]),
    ...(sharp ? [] : [PLAN_NOTICES.blurred(blurPx, blurLimitPx, exposureThatWouldDoS)]),
    ...(rest === "little" ? [PLAN_NOTICES["little-rest"](input.restFrames)] : []),
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

function pushNotices(
  { captureRateHz }: CameraPlanInput,
  { framesInPush, pushS }: SeenOfShot,
  push: SetUpStanding["push"],
): readonly PlanNotice[] {
  const shows = { captureRateHz: captureRateHz.value, pushS, framesInPush };
  switch (push) {
    case "shown":
      return [];
    case "few-frames":
      return [PLAN_NOTICES["few-push-frames"](shows)];
    case "too-few-frames":
      return [PLAN_NOTICES["too-few-push-frames"](shows)];
  }
}

function leavesPicture({ shot }: CameraPlanInput, seen: SeenOfShot, units: UnitSet): PlanNotice {
  const [width, height] = seen.fieldM;
  return PLAN_NOTICES["push-leaves-picture"](
    plannedNumber(width, "m", units),
    plannedNumber(height, "m", units),
    plannedNumber(shot.strokeM, "m", units),
    fieldThatWouldDo(seen, units),
  );
}

function flightNotices(
  { flightFrames }: CameraPlanInput,
  seen: SeenOfShot,
  flight: SetUpStanding["flight"],
  units: UnitSet,
): readonly PlanNotice[] {
  const { flightFramesInView: inView } = seen;
  switch (flight) {
    case "shown":
      return [];
    case "too-few":
      return [PLAN_NOTICES["too-few-flight-frames"](flightFrames)];
    case "left-at-once":
      return [PLAN_NOTICES["too-little-flight-in-picture"](inView, fieldThatWouldDo(seen, units))];
    case "leaves":
      return [PLAN_NOTICES["flight-leaves-picture"](inView, flightFrames, fieldThatWouldDo(seen, units))];
  }
}

function rodTooLong({ rodM }: CameraPlanInput, { fieldM: [widthM] }: SeenOfShot, units: UnitSet): PlanNotice {
  return PLAN_NOTICES["rod-beyond-picture"](
    plannedNumber(rodM.value, "m", units),
    plannedNumber(widthM, "m", units),
    plannedNumber(0.95 * widthM, "m", units, "down"),
  );
}

function fieldThatWouldDo({ fieldThatWouldDoM }: SeenOfShot, units: UnitSet): string {
  return plannedNumber(fieldThatWouldDoM, "m", units, "up");
}
