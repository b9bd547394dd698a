import { note, noticeCatalogue, refusal, warning } from "../../quantity/notice-catalogue.ts";
import type { PxPoint } from "../../quantity/point.ts";

const px = (value: number) => `${value.toFixed(1)} px`;
const percent = (share: number) => `${(100 * share).toPrecision(2)} %`;
const degrees = (rad: number) => `${((180 / Math.PI) * rad).toPrecision(2)}°`;
const BY_THE_EDGE = "the picture's own edge is taken as vertical, good to about 1°.";
const lengthsUnknown = () =>
  refusal(
    "With the turn and the distance given, the flight plane lies so obliquely or so near that lengths in it cannot be measured.",
    "Check the turn and the distance under Scale; film more nearly square to the flight.",
  );

/** What keeps pixels from becoming metres on the flight plane, or makes that doubtful. */
export const SCALE_NOTICES = noticeCatalogue(
  { about: "scale" },
  {
    /**
     * @param why no-length is seen only where lengths are moved by their uncertainty: the document's own are
     * above 0
     */
    "no-scale": (why: "no-rods" | "no-length") => ({
      ...(why === "no-rods"
        ? refusal(
            "The shot has no scale: nothing says how long a pixel is.",
            "Under Scale, click both ends of something of known length in the flight plane and type its length.",
          )
        : refusal(
            "A rod's length or the distance to it, within its uncertainty, may be 0: that is no scale.",
            "Check length, distance and their uncertainties under Scale.",
          )),
      beside: "sentence",
    }),
    "scale-too-close": (separationPx: number, neededPx: number) =>
      refusal(
        `The two ends of the scale are ${px(separationPx)} apart, too close to tell a length from the picks' own uncertainty.`,
        `Pick ends at least ${px(neededPx)} apart; a rod across half the picture is best.`,
      ),
    /** @param spread relative  @param rod counted from 0 */
    "rods-disagree": (spread: number, rod: number) =>
      refusal(
        `The rods disagree by ${(100 * spread).toFixed(1)} %, far more than their uncertainties allow.`,
        `Look at rod ${rod + 1}: a mistyped length, a wrong end, or a rod out of the flight plane.`,
      ),
    /** @param spread, u relative; u of lengths, as widened  @param rod counted from 0; null of two */
    "rods-differ": (spread: number, u: number, rod: number | null) =>
      warning(
        `The rods disagree by ${percent(spread)}, more than their uncertainties allow; lengths and speeds are stated to ±${percent(u)} for it.`,
        `Look at ${rod === null ? "both rods" : `rod ${rod + 1} first`}: a mistyped length, a wrong end, a rod out of the flight plane, or a lens that bends the picture.`,
      ),
    /** @param says as `sizeSays`  @param relative what is seen less what was taped, over that */
    "size-differs": (says: string, relative: number) =>
      warning(
        `By the scale, ${says}: lengths and speeds may be ${percent(Math.abs(relative))} too ${relative > 0 ? "large" : "small"}.`,
        "Check the rod's length and ends, how far out of its plane the airframe flew, and the taped distance; an airframe turned towards the camera looks shorter.",
      ),
    /** @param share of every length */
    "off-plane-assumed": (offMm: number, distanceM: number, share: number) =>
      note(
        `Nothing says how far the flight was from the rod's plane; ±${offMm} mm is assumed, which at ${distanceM.toPrecision(2)} m from the camera is ${percent(share)} of every length and speed.`,
        "Under Scale, at Flight out of the rod's plane, say how far the camera stood and how well the plane was kept.",
      ),
    "rod-u-assumed": () =>
      note(
        "No uncertainty is stated of a rod's length; 0.1 % of it is assumed.",
        "Under Scale, type what the length is good to; nothing measured is exact.",
      ),
    "planes-too-far-apart": () =>
      refusal(
        "The distances given put the flight at less than half the distance of the scale rod, or at more than one and a half times that.",
        "Put the scale rod where the airframe flies, and film again; or check the two distances under Scale.",
      ),
    "too-near": lengthsUnknown,
    "turned-too-far": lengthsUnknown,
    "no-plumb": () => ({
      ...warning(
        `No plumb is marked, so ${BY_THE_EDGE}`,
        "Under Scale, mark a hanging line or another true vertical: launch angle and pitch depend on it.",
      ),
      beside: "sentence",
    }),
    "plumb-too-close": (separationPx: number, neededPx: number) =>
      warning(
        `The plumb or level is marked over ${px(separationPx)} only; ${BY_THE_EDGE}`,
        `Mark its ends at least ${px(neededPx)} apart.`,
      ),
    /** @param apartRad how far their verticals lie apart  @param u rad, of the vertical as widened */
    "plumb-and-level-disagree": (apartRad: number, u: number) =>
      warning(
        `Plumb and level disagree by ${degrees(apartRad)}, more than their uncertainties allow; angles are stated to ±${degrees(u)} for it.`,
        "Remove the one that is not true, or state how true each is.",
      ),
    "lens-folds": () =>
      warning(
        "The camera's lens profile folds the picture over itself inside its frame and is not used.",
        "Find the lens profile again, with lines that reach the corners of the picture.",
      ),
    /** A place was picked or marked where neither lens nor flight plane can be seen. */
    "unseen-place": (at: PxPoint) =>
      refusal(
        `Something is marked or picked at ${at.map((one) => Math.round(one)).join(", ")} px, where by the lens profile or the known points nothing can be seen.`,
        "Look for a mark or a pick far off under Scale and Marks, and check the known points and the lens.",
      ),
    "pick-without-post": (frames: readonly number[]) =>
      warning(
        `The camera moved, and how it stood is not known in ${frames.length === 1 ? `frame ${frames[0]}` : `frames ${frames.join(", ")}`}, where scale or plumb was picked; that pick counts as seen in the first frame that is steadied.`,
        "Pick again in a frame of the launch; or mark the posts, or follow the background, in that frame too.",
      ),
  },
);

const poorlyPlaced = () =>
  refusal(
    "The known points do not fix the plane well enough.",
    "Spread them over the whole flight plane and mark them closely.",
  );

/** Why known points do not give the flight plane. Points are counted from 1. */
export const PLANE_NOTICES = noticeCatalogue(
  { about: "scale" },
  {
    "plane-too-few-points": (points: number, needed: number) =>
      refusal(
        `The plane has ${points} known points; it needs ${needed}.`,
        "Mark four or more points of known place, spread over the flight plane.",
      ),
    "plane-points-in-line": () =>
      refusal(
        "The known points lie too nearly in one line to fix a plane.",
        "Add points well off that line, above or below it.",
      ),
    "plane-points-disagree": (point: number) =>
      refusal(
        `The known points do not fit one plane; number ${point} is farthest off.`,
        `Check the place typed for point ${point} and where it was clicked. If all are right, the lens bends the picture: find its profile under Scale.`,
      ),
    /** @param bentPx what the corner of the picture is off by  @param rmsPx left by a straight picture */
    "plane-picture-bent": (bentPx: number, rmsPx: number, hasProfile: boolean) =>
      warning(
        `The known points are seen ${px(rmsPx)} off a flat plane, as a lens would bend them that moves the picture's corners by ${px(bentPx)}; the ± of every result allows for it. The marks of the airframe are not the cause.`,
        hasProfile
          ? "Find the lens profile again, with lines that reach the corners of the picture."
          : "Find the camera's lens profile under Scale, from straight lines or a board; it is then taken out.",
      ),
    /** @param rmsPx left by the plane  @param ratio of the scatter to what was stated */
    "plane-points-strained": (rmsPx: number, ratio: number) =>
      warning(
        `The known points are seen ${px(rmsPx)} off a flat plane, ${ratio.toFixed(1)} times what their uncertainties allow; the ± of every result is widened by that. The marks of the airframe are not the cause.`,
        "Check the places typed and where they were clicked, and that all points lie in the flight plane; or state them less closely.",
      ),
    "plane-horizon-between-points": (point: number) =>
      refusal(
        `The known points cannot all be seen from one side; number ${point} contradicts the others.`,
        `Check the place typed for point ${point}: two points may be swapped.`,
      ),
    "plane-poorly-placed-points": poorlyPlaced,
    "plane-not-converged": poorlyPlaced,
  },
);
