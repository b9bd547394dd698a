import type { LaidOver, NotLaid } from "../../shared/beside/laid-over.ts";
import type { ShotOnPlane } from "../../shared/beside/shot-on-plane.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import type { Blend } from "./blend-of.ts";

const SEEN_PX = 0.5; // a bend below half a pixel is not seen

/** What of two pictures falls together, how well, and what does not: a sentence each. */
export function blendText(
  { shots, place }: Blend,
  laid: LaidOver,
  names: readonly [string, string],
): readonly string[] {
  const [first, second] = shots;
  const [lower, upper] = names;
  if (first.shotId === second.shotId) return [`${lower} lies over itself.`];
  const what =
    place.point === null
      ? "the middle of the scale rod"
      : `the ${place.point} at ${place.origin === "airframe at release" ? "release" : "first motion"}`;
  const words = [
    `Together: ${what}, to ± ${uOf(1000 * place.u)} mm (± ${uOf(laid.placeUPx)} px of ${lower}).`,
    `Size and upright are by each shot’s own scale and ${uprightWords(shots, names)}.`,
    `${upper} is drawn ${showMeasured(laid.enlarged, "1").text} times its size there.`,
  ];
  if (place.point === null)
    words.push("That holds only if the rod stood at the same place of the launcher in both.");
  if (first.direction !== second.direction) words.push(`${upper} flies the other way, and is mirrored.`);
  words.push(...viewWords(shots, names));
  if (laid.bendPx > SEEN_PX)
    words.push(
      `A lens bends lines that this leaves straight: places are up to ${uOf(laid.bendPx)} px off by that.`,
    );
  words.push(
    "Not together: what stands nearer or farther than the flight, if the cameras stood at different places or heights.",
  );
  return words;
}

/** Two digits at most of a number that says how uncertain something is. */
function uOf(u: number): string {
  return u === 0 ? "0" : showMeasured({ value: 0, u }, "1").u;
}

function uprightWords([first, second]: Blend["shots"], [lower, upper]: readonly [string, string]): string {
  const by = ({ view, upright }: ShotOnPlane) =>
    view === "known points" ? "known points" : upright ? "plumb or level" : "picture’s edge";
  const [one, other] = [by(first), by(second)];
  return one === other ? one : `${one} (${lower}), ${other} (${upper})`;
}

function viewWords([first, second]: Blend["shots"], [lower, upper]: readonly [string, string]): string[] {
  const square = [first, second].flatMap(({ view }, i) =>
    view === "square" ? [i === 0 ? lower : upper] : [],
  );
  if (square.length === 0) return ["The perspective of both planes is matched."];
  const whose = square.length > 1 ? "both are" : `${square[0]} is`;
  return [`Perspective is not matched: ${whose} taken as seen square on, without known points or a turn.`];
}

/** Why the upper frame cannot be laid over the lower one. */
export function notLaidText(
  code: NotLaid,
  frames: readonly [number, number],
  names: readonly [string, string],
): string {
  const untied = (which: 0 | 1) =>
    `The camera’s place in frame ${frames[which]} of ${names[which]} is not known, so that it cannot be laid over.`;
  switch (code) {
    case "untied-first":
      return untied(0);
    case "untied-second":
      return untied(1);
    case "unseen":
      return "A flight plane is seen edge on there, so that the two cannot be laid over each other.";
    case "apart":
      return "With that together, the two pictures show no place in common.";
  }
}
