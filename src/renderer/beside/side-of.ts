import { type FramesInTime, framesInTime, type Instant } from "../../shared/beside/frames-in-time.ts";
import type { DayShot } from "../../shared/day/day-columns.ts";
import { gravestFirst } from "../../shared/quantity/notice.ts";
import type { Measurement, ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { type FilmedShot, filmedShot } from "../../shared/session/filmed-shot.ts";
import type { Session } from "../../shared/session/schema.ts";
import type { ClipKnowledge } from "../host/service.ts";

/** One of the two shots, its clip's frames in time. */
export interface Side {
  readonly shotId: string;
  readonly name: string;
  readonly clip: string;
  readonly facts: ClipFacts;
  readonly frames: FramesInTime;
  readonly filmed: FilmedShot;
  readonly measurement: Measurement;
}

/** Why a shot has no pictures in time, and what to do about it. */
export interface NoSide {
  readonly cause: string;
  readonly remedy: string;
  /** The shot is measured, but its marks do not show this instant: another may do. */
  readonly otherInstant: boolean;
}

interface Known {
  readonly session: Session;
  /** null until there is one */
  readonly result: ShotResult | null;
  /** of the shot's clip; undefined while nobody looks at it */
  readonly knowledge: ClipKnowledge | undefined;
}

/** What a refusal of the footage can be about. */
const OF_FOOTAGE: readonly string[] = ["clip", "clock", "scale", "marks", "motion"];

/** A chosen shot's frames in time from an instant of its launch, or why there are none. */
export function sideOf(
  { shot: { id, name }, outing }: Pick<DayShot, "shot" | "outing">,
  { session, result, knowledge }: Known,
  from: Instant,
): Side | NoSide {
  if (outing !== undefined) {
    return none(
      `The clip of ${name} lies in the folder of ${outing.title}.`,
      "Choose two shots of this folder; pictures of another outing are not read.",
    );
  }
  const shot = session.shots.find((one) => one.id === id);
  if (shot === undefined || shot.clip === null) return none(`${name} has no clip.`, "Choose one under Clip.");
  if (knowledge?.status === "failed") return none(knowledge.fault.cause, knowledge.fault.remedy);
  if (knowledge?.status !== "known") return none(`Looking at ${shot.clip}.`, "");
  const measurement = result?.measurement ?? null;
  if (measurement === null) return notMeasured(name, result);
  const { facts } = knowledge;
  const filmed = filmedShot(session, shot);
  const frames = framesInTime(filmed, facts, measurement, from);
  if (frames.ok)
    return { shotId: id, name, clip: shot.clip, facts, frames: frames.value, filmed, measurement };
  switch (frames.code) {
    case "no-release":
      return { ...none(`The marks of ${name} show no release.`, MARK_MORE), otherInstant: true };
    case "no-first-motion":
      return {
        ...none(`The marks of ${name} begin too late to show its first motion.`, MARK_MORE),
        otherInstant: true,
      };
    default:
      return none(`The clock of ${name} does not fit its clip.`, "Look at the heading Clock of that shot.");
  }
}

const MARK_MORE = "Mark more frames about that instant.";

/** Whether a chosen shot's pictures can be shown in time. */
export function isSide(side: Side | NoSide): side is Side {
  return "frames" in side;
}

function notMeasured(name: string, result: ShotResult | null): NoSide {
  if (result === null) return none(`${name} is not measured yet.`, "");
  const why = gravestFirst(result.notices.filter(({ about }) => OF_FOOTAGE.includes(about)))[0];
  return none(
    `${name} is not measured${why === undefined ? "." : `: ${why.cause}`}`,
    why?.remedy ?? "Open the shot; its headings say what is missing.",
  );
}

function none(cause: string, remedy: string): NoSide {
  return { cause, remedy, otherInstant: false };
}
