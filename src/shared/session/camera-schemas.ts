import { z } from "zod";
import { finite, id, measured, measuredPositive, positive, px, u } from "./schema-values.ts";

export const LensSchema = z.strictObject({
  focalPx: positive.describe("px, focal length, or the unit of length the coefficients are given in"),
  centrePx: px.describe("px, where the lens axis meets the picture"),
  picturePx: z.tuple([positive, positive]).describe("[width, height] px of the pictures it holds for"),
  k1: finite.describe("1, radial, r²"),
  k2: finite.describe("1, radial, r⁴"),
  k3: finite.describe("1, radial, r⁶"),
  p1: finite.describe("1, tangential"),
  p2: finite.describe("1, tangential"),
  covariance: z
    .array(finite)
    .length(64)
    .describe("covariance of focalPx, centre x, centre y, k1, k2, k3, p1, p2, row by row"),
  madeFrom: z.strictObject({
    by: z.enum(["lines", "board", "person"]).describe("how the profile was found"),
    leftPx: u.describe("px, root mean square that the fit left"),
    points: z.int().nonnegative().describe("number of marked points used"),
  }),
});

export const CameraSchema = z.strictObject({
  id: id.describe("name of the camera for the document, unique in the session"),
  name: z.string().max(80).describe("what the person calls the camera"),
  captureRateHz: measuredPositive("Hz, frames per second the camera takes while filming the launch"),
  exposureS: z.number().positive().nullable().describe("s, exposure of one frame; null when unknown"),
  readoutS: measured(
    "s, time the sensor takes to read from the top row of the picture to the bottom; negative when it reads upwards; 0 for all rows at once",
  ).optional(),
  lens: LensSchema.optional().describe(
    "what the lens bends, found from straight lines or a board; left out when not known",
  ),
});

const RepeatsSchema = z.strictObject({
  frames: z.array(z.int().positive()).describe("frames that show the picture before them again, increasing"),
  kind: z
    .enum(["inserted", "stale"])
    .describe("inserted: padding that took no time; stale: a lost frame filled with the picture before"),
});

const ratesStand = z
  .literal(true)
  .optional()
  .describe("the person says that the rates are as stated, although the motion jumps as if they were not");

export const ClockSchema = z.discriminatedUnion("kind", [
  z
    .strictObject({
      kind: z.literal("capture-rate").describe("time from the camera's capture rate"),
      captureRateHz: measuredPositive("Hz, what the camera did"),
      useChecks: z
        .boolean()
        .optional()
        .describe("true: drop and lamp checks of the same camera are combined with the stated rate"),
      repeats: RepeatsSchema.optional(),
      ratesStand,
      gaps: z
        .array(
          z.strictObject({
            afterFrame: z.int().nonnegative().describe("the frame before the gap"),
            missing: z.int().positive().describe("frames that the file lacks there"),
          }),
        )
        .optional()
        .describe("frames the camera took that the file does not hold"),
      parts: z
        .array(
          z.strictObject({
            from: measuredPositive("frames, border from which on the part has its own rate"),
            captureRateHz: measuredPositive("Hz, what the camera did in this part"),
          }),
        )
        .optional()
        .describe(
          "stretches filmed at other rates, by increasing border; captureRateHz is then that before the first",
        ),
    })
    .describe("slow motion stored at another rate: time = frame index / capture rate"),
  z
    .strictObject({
      kind: z.literal("timestamps").describe("time from the file's own timestamps"),
      rateError: measured("1, relative error of the file's clock, usually 0"),
      repeats: RepeatsSchema.optional(),
      ratesStand,
    })
    .describe("the file plays in real time: time = the frame's own timestamp"),
]);

export const BallSchema = z.strictObject({
  massKg: measuredPositive("kg, mass of the dropped object"),
  diameterM: measuredPositive("m, its diameter"),
  dragCoefficient: measuredPositive("1, its drag coefficient; 0.5 for a smooth ball at these speeds"),
});

export const SiteSchema = z.strictObject({
  latitudeRad: finite.describe("rad, latitude of the field"),
  heightM: finite.describe("m, height of the field above sea level"),
});

export const LampSchema = z.strictObject({
  intervalS: measuredPositive("s, time between two changes of a lamp in view"),
  frames: z.array(z.int().nonnegative()).describe("first frame that shows each change, increasing"),
});
