import { z } from "zod";
import { id, measured, measuredPositive } from "./schema-values.ts";

export const PointSchema = z.strictObject({
  id: id.describe("name of the point for the document, unique in the session"),
  name: z.string().min(1).max(40).describe("what the person calls the point, e.g. nose"),
  on: z
    .enum(["airframe", "rod", "post", "dropped"])
    .describe(
      "what the point is on: the airframe (enters the pose), the launcher's rod, a post that stands still (takes camera shake out), or a dropped object (checks the capture rate)",
    ),
  airframeId: id
    .nullable()
    .describe("id of the airframe the point is on; null for a point of the rod, a post or a dropped object"),
  body: z
    .strictObject({
      forwardM: measured("m, forward from the balance point along the pitch reference line"),
      upM: measured("m, towards the upper side of the airframe"),
    })
    .nullable()
    .describe(
      "tape-measured place on the airframe; of the two points of the pitch reference line it is held against the scale where no distance is given; null when not measured",
    ),
});

export const AirframeSchema = z.strictObject({
  name: z.string().max(80).describe("what the person calls the airframe"),
  massKg: measuredPositive("kg, all-up mass as launched").nullable(),
  centreOfGravity: z
    .strictObject({
      fromPointId: id.describe("the forward point of the pitch reference line, e.g. the nose target"),
      towardPointId: id.describe("the aft point of the pitch reference line, e.g. the tail target"),
      alongM: measured("m, distance of the centre of gravity from the forward point towards the aft point"),
      aboveM: measured("m, distance above that line, towards the upper side of the airframe"),
      apartM: measuredPositive(
        "m, from the forward point to the aft one, taped on the airframe; held against the scale",
      )
        .nullable()
        .optional(),
    })
    .nullable()
    .describe(
      "where the airframe balances, between two of its points; also defines pitch: the angle of the line aft to forward point above the horizontal",
    ),
  pitchInertiaKgM2: measuredPositive(
    "kg m², moment of inertia about the pitch axis through the centre of gravity",
  ).nullable(),
  wingAreaM2: measuredPositive("m², reference wing area").nullable(),
  liftCoefficientMax: measuredPositive("1, greatest lift coefficient before the stall").nullable(),
  loadLimitG: measuredPositive(
    "1, greatest load factor along the push that airframe and joints are built for, in units of 9.80665 m/s²",
  ).nullable(),
  dragAreaM2: measuredPositive("m², drag coefficient times its area; for flight and vertical shots")
    .nullable()
    .optional(),
  liftSlopePerRad: measuredPositive("1/rad, lift coefficient gained per angle of attack; for gust loads")
    .nullable()
    .optional(),
  meanChordM: measuredPositive("m, wing area over span; for gust loads").nullable().optional(),
  yawInertiaKgM2: measuredPositive(
    "kg m², moment of inertia about the yaw axis through the centre of gravity",
  )
    .nullable()
    .optional(),
  bodyDiameterM: measuredPositive("m, greatest diameter of the body: the calibre of the stability margin")
    .nullable()
    .optional(),
  pressureBehindM: measured(
    "m, centre of pressure behind the centre of gravity as launched; negative ahead of it",
  )
    .nullable()
    .optional(),
});

/** An airframe in the list of the session. */
export const ListedAirframeSchema = z.strictObject({
  id: id.describe("name of the airframe for the document, unique in the session"),
  ...AirframeSchema.shape,
});
