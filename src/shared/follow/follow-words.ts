import type { Fault } from "../quantity/notice.ts";
import { LEAST_LIKENESS } from "./find-template.ts";
import type { FollowEnd, Followed, FollowedMark, HandMet } from "./followed.ts";

/** Why following ended, and what to do, in plain sentences. */
export function endSays({ why, frame, number }: FollowEnd, pointName: string): Fault {
  const onFrom = `Mark the ${pointName} by hand in frame ${frame}, or in the next one that shows it, and follow on from there.`;
  const at = `In frame ${frame}`;
  const says = (cause: string, remedy = onFrom): Fault => ({ code: `follow-${why}`, cause, remedy });
  switch (why) {
    case "no-detail":
      return says(
        `The picture around the mark in frame ${frame} changes too little to fix a place in both directions.`,
        "Mark something that stands out all around: a target's middle, a corner, a spot.",
      );
    case "shaded":
      return says(
        `Around the mark in frame ${frame} there is only light that falls off evenly: it would stay where it is while the ${pointName} moves or turns.`,
        "Mark something with an outline: a target, a corner, a whole ball that is not too large.",
      );
    case "edge":
      return says(
        `The mark in frame ${frame} is too near the picture's edge to be followed.`,
        "Begin in a frame in which it is farther inside.",
      );
    case "left":
      return says(
        `${at} the ${pointName} goes out of the picture.`,
        "There is no more of it to follow that way.",
      );
    case "unlike":
      return says(
        `${at} what is there looks too little like the ${pointName} as it was marked: ${number.toFixed(2)}, where ${LEAST_LIKENESS} is asked and 1 is the same.`,
      );
    case "unsettled":
      return says(
        `${at} the ${pointName} is there or nearby, at a likeness of ${number.toFixed(2)}, but its place does not settle: it turns or changes too much to be fixed.`,
      );
    case "beyond":
      return says(
        `${at} nothing like the ${pointName} lies within ${number.toFixed(0)} px of where it was expected: it moved farther, or something hides it.`,
      );
    case "two-alike":
      return says(
        `${at} two places ${number.toFixed(0)} px apart look like the ${pointName}, one as much as the other.`,
      );
    case "blurred":
      return says(
        `${at} the ${pointName} moves ${number.toFixed(0)} px while the shutter is open, and is too blurred to be found.`,
        `${onFrom} A shorter exposure would do.`,
      );
    case "faded":
      return says(
        `${at} only ${(100 * number).toFixed(0)} % of the ${pointName}'s contrast is left: it is blurred, out of focus or in shadow.`,
      );
    case "stopped":
      return says(
        `Following the ${pointName} was stopped after frame ${frame}; what was followed is kept.`,
        `Correct the marks that are off, and follow on from a hand mark.`,
      );
  }
}

/** What is doubtful about a mark of the follower, to follow "frame 12: ". */
export function doubtsSay({ doubts, likeness, u }: FollowedMark): string {
  return doubts
    .map((doubt) => {
      if (doubt === "unlike") return `looks only ${likeness.toFixed(2)} like the marked place`;
      if (doubt === "loose") return `good to ±${u.toFixed(2)} px only`;
      if (doubt === "twin") return "another thing like it is near, and nothing tells which of both this is";
      return doubt === "after-gap"
        ? "the first after frames in which it was not seen"
        : "off the course it was on";
    })
    .join(", ");
}

/** How far a hand mark that was met is from where the others put the point. */
export function metSays({ frame, distancePx, distanceU, agrees, begins }: HandMet): string {
  const away = `Hand mark in frame ${frame}: ${distancePx.toFixed(2)} px away, ${distanceU.toFixed(1)} u.`;
  if (agrees) return away;
  return begins
    ? `${away} The follower was not sure of itself there, and went on from the hand mark.`
    : `${away} It disagrees with the others and is left out: look at it again.`;
}

/** All marks of all runs, in the order they were followed. */
export function marksOf({ runs }: Followed): readonly FollowedMark[] {
  return runs.flatMap(({ marks }) => marks);
}

/** How many frames were followed, how well, and what the marks share. */
export function followedSays(followed: Followed): string {
  const marks = marksOf(followed);
  if (marks.length === 0) return "No frame was followed.";
  const us = marks.map(({ u }) => u);
  const [least, most] = [Math.min(...us).toFixed(2), Math.max(...us).toFixed(2)];
  const each = least === most ? `±${least} px` : `±${least} to ${most} px`;
  const shared = Math.max(
    ...followed.runs.filter((run) => run.marks.length > 0).map(({ commonU }) => commonU),
  );
  const count = marks.length === 1 ? "One frame" : `${marks.length} frames`;
  const unseen = unseenFrames(followed);
  const gap =
    unseen === 0
      ? ""
      : ` In ${unseen === 1 ? "one frame" : `${unseen} frames`} between them it was not seen.`;
  return `${count} followed, each mark good to ${each} beside the others; all of them share the doubt of where the hand mark is, ±${shared.toFixed(2)} px.${gap}`;
}

/** Frames without a mark between those of a run, hand marks aside. */
function unseenFrames({ runs, met }: Followed): number {
  return runs.reduce((sum, { marks, handFrames }) => {
    const frames = marks.map(({ frame }) => frame);
    const [from, to] = [Math.min(...frames), Math.max(...frames)];
    const byHand = new Set([...handFrames, ...met.map(({ frame }) => frame)]);
    const between = [...byHand].filter((frame) => frame > from && frame < to).length;
    return frames.length === 0 ? sum : sum + to - from + 1 - frames.length - between;
  }, 0);
}

/** The frames in which the picture is shown again, in words; null when there are none. */
export function repeatsSay(followed: Followed): string | null {
  const frames = marksOf(followed)
    .filter(({ repeat }) => repeat)
    .map(({ frame }) => frame)
    .sort((a, b) => a - b);
  if (frames.length === 0) return null;
  const some = frames.slice(0, 6).join(", ");
  const which =
    frames.length === 1
      ? `Frame ${some} shows the picture before it`
      : `Frames ${some}${frames.length > 6 ? " and more" : ""} show the picture before them`;
  return `${which} again, and the point keeps its place there. Look for repeated frames under Clock, if you have not yet.`;
}
