import type { Repeats } from "../../../shared/clock/frame-clock.ts";
import { type RepeatKind, repeatKind } from "../../../shared/clock/repeat-kind.ts";
import { type RepeatedFrames, repeatedFrames } from "../../../shared/clock/repeated-frames.ts";
import { showMeasured } from "../../../shared/quantity/display.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import type { ClockCheckResult } from "../../../shared/results/shot-result.ts";
import type { Point, Session, Shot } from "../../../shared/session/schema.ts";

/** "A drop in Shot 2 implies 958.7 ± 0.9 frames/s, −1.4 u from the stated rate." u: of the difference. */
export function checkSays(
  check: ClockCheckResult,
  shot: Shot,
  shots: Session["shots"],
  stated: Measured | null,
): string {
  const what = check.kind === "drop" ? "A drop" : "The lamp";
  const where =
    check.shotId === shot.id
      ? "in this clip"
      : `in ${shots.find((one) => one.id === check.shotId)?.name ?? check.shotId}`;
  const implies = `${what} ${where} implies ${showMeasured(check.captureRateHz, "1").text} frames/s`;
  if (stated === null) return `${implies}.`;
  const difference = check.captureRateHz.value - stated.value;
  const inU = difference / Math.hypot(check.captureRateHz.u, stated.u);
  if (!Number.isFinite(inU)) return `${implies}.`;
  const sign = inU < 0 ? "−" : "+";
  return `${implies}, ${sign}${Math.abs(inU).toFixed(1)} u from the stated rate.`;
}

/** What was found of repeated frames, in words, and which reading the marks speak for. */
export interface RepeatsFound {
  readonly text: string;
  /** Empty when there is nothing to allow for. */
  readonly frames: readonly number[];
  /** null when the marks do not tell */
  readonly kind: Repeats["kind"] | null;
}

/**
 * Reads the differences of a clip's frames; the marks of the airframe's most marked
 * point tell what repeats are.
 */
export function repeatsFound(
  differences: readonly (number | null)[],
  shot: Shot,
  points: readonly Point[],
): RepeatsFound {
  const none = { frames: [], kind: null };
  const found = repeatedFrames(differences);
  if (!found.ok) {
    return found.code === "too-few-frames"
      ? { ...none, text: `The clip's ${differences.length} frames are too few to tell repeated ones.` }
      : { ...none, text: "Too little moves in the clip to tell a repeated frame from a still scene." };
  }
  const { frames, judged } = found.value;
  if (frames.length === 0) {
    return {
      ...none,
      text: `None of the ${judged} frames that could be judged repeats the picture before it.`,
    };
  }
  const told = kindTold(frames, shot, points);
  return {
    text: `${countSays(found.value)} ${told.text}`,
    frames: found.value.period?.frames ?? frames,
    kind: told.kind,
  };
}

function countSays({ frames, fraction, period }: RepeatedFrames): string {
  const named = frames.slice(0, 4).join(", ");
  const which =
    period === null
      ? `${frames.length > 4 ? `${named} and others` : named}`
      : `${period.repeats} of every ${period.everyFrames}`;
  const what = frames.length === 1 ? "One frame repeats" : `${frames.length} frames repeat`;
  return `${what} the picture before (${Math.round(100 * fraction)} % of those that could be judged): ${which}.`;
}

function kindTold(
  frames: readonly number[],
  shot: Shot,
  points: readonly Point[],
): { readonly text: string; readonly kind: RepeatKind["kind"] | null } {
  const counts = points
    .filter((point) => point.on === "airframe")
    .map((point) => ({ point, marks: shot.marks.filter((mark) => mark.pointId === point.id) }))
    .sort((a, b) => b.marks.length - a.marks.length);
  const [most] = counts;
  const told = most === undefined ? null : repeatKind(most.marks, frames);
  if (most === undefined || told === null || !told.ok) {
    return {
      kind: null,
      text: "The marks do not tell whether that is padding, which took no time, or lost frames, which did.",
    };
  }
  const across = `Across one, the ${most.point.name} moves ${showMeasured(told.value.advance, "1").text.trim()} usual steps`;
  return told.value.kind === "inserted"
    ? { kind: "inserted", text: `${across}: they are padding that took no time.` }
    : { kind: "stale", text: `${across}: each stands for a frame that the camera lost.` };
}

/** "The file lacks 3 frames, by its timestamps: after frames 40 and 77." */
export function gapsSay(gaps: readonly { readonly afterFrame: number; readonly missing: number }[]): string {
  const missing = gaps.reduce((sum, gap) => sum + gap.missing, 0);
  const places = gaps.slice(0, 4).map((gap) => gap.afterFrame);
  const where =
    gaps.length > 4
      ? `${places.join(", ")} and others`
      : [places.slice(0, -1).join(", "), places.at(-1)].filter((part) => part !== "").join(" and ");
  return `By its timestamps the file lacks ${missing === 1 ? "one frame" : `${missing} frames`}, after ${gaps.length === 1 ? "frame" : "frames"} ${where}.`;
}
