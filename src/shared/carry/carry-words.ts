import type { Fault } from "../quantity/notice.ts";
import type { Refusal } from "../quantity/result.ts";
import type { CameraBetween, OtherSetUp } from "./camera-between.ts";
import type { FoundPick, PickDoubt } from "./find-pick.ts";

const PER_RAD = 180 / Math.PI;

/** By how much the camera moved between two shots, for a person. */
export function cameraSays(
  { shiftPx: [dx, dy], uShiftPx, turnRad, uTurnRad, zoom, uZoom }: CameraBetween,
  former: string,
): string {
  const px = `${Math.hypot(dx, dy).toFixed(1)} ± ${uShiftPx.toFixed(2)} px`;
  const turned = `${Math.abs(turnRad * PER_RAD).toFixed(2)} ± ${(uTurnRad * PER_RAD).toFixed(3)}°`;
  const way = turnRad >= 0 ? "clockwise" : "anticlockwise";
  const zoomed = `${(100 * (zoom - 1)).toFixed(3)} ± ${(100 * uZoom).toFixed(3)} %`;
  return `Since ${former} the picture has moved by ${px} and turned by ${turned} ${way}; its zoom changed by ${zoomed}.`;
}

/** Why a pick is not sure and what stands for it, in words that go on from what it is: "the nose: ...". */
export function doubtSays({ by, uPx }: FoundPick, doubt: PickDoubt, former: string): string {
  const why = whyUnsure(doubt, former);
  switch (by) {
    case "picture":
      return why;
    case "camera":
      return `${why}; the camera's movement alone puts it where it stands, ± ${uPx.toFixed(1)} px`;
    case "nothing":
      return `${why}, so it is left for you to place`;
  }
}

function whyUnsure({ why, px }: PickDoubt, former: string): string {
  switch (why) {
    case "no-detail":
      return "its picture is too plain to be found again";
    case "outside":
      return "it lies outside this picture";
    case "not-found":
      return `nothing there looks as it does in ${former}`;
    case "two-alike":
      return `two things look alike there, ${px.toFixed(0)} px apart`;
    case "moved":
      return `it is found, but ${px.toFixed(1)} px off where the camera's movement puts it: it may have been moved`;
    case "apart":
      return `it lies ${px.toFixed(1)} px nearer to or farther from the airframe's other points than in ${former}`;
  }
}

/** Why a clip is not of the set-up of a former shot, with what can be done. */
export function otherSetUpSays({ code, numbers }: Refusal<OtherSetUp>, clip: string, former: string): Fault {
  const remedy = `Set this shot up by hand, or as another shot that was filmed from the same place with the same zoom.`;
  const { places = 0, found = 0, zoom = 1, u = 0 } = numbers;
  switch (code) {
    case "other-size":
      return {
        code,
        cause: `${clip} has pictures of ${numbers.nowWidth} by ${numbers.nowHeight} px, and those of ${former} are ${numbers.width} by ${numbers.height} px.`,
        remedy,
      };
    case "other-scene":
      return {
        code,
        cause: `${clip} does not show what ${former} shows: of ${places} places of its background ${found} were found again where one camera would see them, so it was filmed from another place, turned by more than some degrees, or with another zoom.`,
        remedy,
      };
    case "other-zoom":
      return {
        code,
        cause: `${clip} shows the scene of ${former} ${zoom > 1 ? "larger" : "smaller"} by ${(100 * Math.abs(zoom - 1)).toFixed(1)} ± ${(100 * u).toFixed(2)} %: the zoom was another, or the camera stood elsewhere.`,
        remedy,
      };
  }
}
