import { z } from "zod";
import { finite, id, measured, measuredPositive, positive, px, u } from "./schema-values.ts";

/** The frame that a place was picked in: with a moving camera a place is one of its frame only. */
const pickedIn = z
  .int()
  .nonnegative()
  .optional()
  .describe("frame it was picked in; left out: the first frame with a marked post");

const CARRIED =
  "as picked in the shot it was carried over from: that part of the error is one for both; left out where it was picked in this shot's own clip";
const carriedU = positive.describe("px, standard uncertainty of each coordinate there");

export const ScaleSchema = z.strictObject({
  a: px.describe("one end of the scale rod"),
  b: px.describe("the other end"),
  aFrame: pickedIn,
  bFrame: pickedIn,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  rodM: measuredPositive("m, length of the rod between the two picked ends"),
  snapped: z
    .literal(true)
    .optional()
    .describe("both ends lie on targets' middles, which were found in the picture with this uPx"),
  carried: z.strictObject({ a: px, b: px, uPx: carriedU }).optional().describe(CARRIED),
});

export const PlumbSchema = z.strictObject({
  top: px,
  bottom: px,
  topFrame: pickedIn,
  bottomFrame: pickedIn,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  hangRad: u.describe("rad, standard uncertainty of the line's own verticality"),
  carried: z.strictObject({ top: px, bottom: px, uPx: carriedU }).optional().describe(CARRIED),
});

export const LevelSchema = z.strictObject({
  left: px,
  right: px,
  leftFrame: pickedIn,
  rightFrame: pickedIn,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  tiltRad: u.describe("rad, standard uncertainty of the line's own level"),
  carried: z.strictObject({ left: px, right: px, uPx: carriedU }).optional().describe(CARRIED),
});

export const ControlPointsSchema = z.strictObject({
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  uM: u.describe("m, standard uncertainty of each known coordinate"),
  points: z
    .array(
      z.strictObject({
        at: px,
        frame: pickedIn,
        xM: finite.describe("m, horizontal place in the flight plane, to the right in the picture"),
        yM: finite.describe("m, height in the flight plane"),
        carried: z.strictObject({ at: px, uPx: carriedU }).optional().describe(CARRIED),
      }),
    )
    .describe("four or more known points, no three of four in a line"),
});

export const SettingSchema = z.strictObject({
  distanceM: measuredPositive("m, camera to the plane of the scale"),
  nearerM: measured(
    "m, how much nearer to the camera than the scale the airframe flew; negative when farther",
  ),
  turnRad: measured(
    "rad, flight plane turned about the vertical; positive when its right side is farther from the camera",
  ),
});

export const MarkSchema = z.strictObject({
  pointId: id.describe("id of the point that is marked"),
  frame: z.int().nonnegative().describe("frame index, from 0 in order of presentation"),
  x: finite.describe("px, from the left edge of the upright picture"),
  y: finite.describe("px, from the top edge of the upright picture, downward"),
  u: positive.describe("px, standard uncertainty of each coordinate"),
  by: z.enum(["hand", "follower"]).describe("who placed the mark"),
  snapped: z
    .literal(true)
    .optional()
    .describe("placed by hand on a target's middle, which was found in the picture with this u"),
});

export const ReleaseSchema = z.discriminatedUnion("by", [
  z
    .strictObject({ by: z.literal("change-point").describe("who says when release was: the fit") })
    .describe("found in the motion: where the push acceleration ends"),
  z
    .strictObject({
      by: z.literal("person").describe("who says when release was: the person"),
      frame: finite.nonnegative().describe("frame index, fractions allowed"),
      uFrames: positive.describe("standard uncertainty, frames"),
    })
    .describe("seen by the person in the clip"),
  z
    .strictObject({
      by: z.literal("travel").describe("who says when release was: the launcher's length"),
      travelM: measuredPositive("m, how far the airframe goes from rest until it is free of the launcher"),
    })
    .describe("after a known travel along the launcher"),
]);

const eightNumbers = z.array(finite).length(8);

export const MovementSchema = z.strictObject({
  referenceFrame: z.int().nonnegative().describe("frame whose picture all others are brought to"),
  picturePx: z.tuple([positive, positive]).describe("[width, height] px of the pictures"),
  lens: eightNumbers
    .nullable()
    .describe("focalPx, centre x, centre y, k1, k2, k3, p1, p2 of the lens taken out before; null for none"),
  inheritedPx: u.describe("px, what the movement may be off by from the first frame to the last"),
  frames: z
    .array(
      z.strictObject({
        frame: z.int().nonnegative().describe("frame index, as marks have it"),
        corners: eightNumbers.describe(
          "px, x and y: where this frame shows what lies at the reference picture's corners, from the top left clockwise",
        ),
        u: z
          .tuple([u, u])
          .describe("px, standard uncertainty of a place in the middle of the picture, and at its corners"),
      }),
    )
    .describe("in order; a frame that is missing could not be followed"),
});
