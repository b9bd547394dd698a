import { z } from "zod";
import { id, measured, measuredNonnegative, measuredPositive } from "./schema-values.ts";

export const PointSchema = z.strictObject({
  id: id.describe("name of the point for the document, unique in the session"),
  name: z.string().min(1).max(40).describe("what the person calls the point, e.g. nose"),
  on: z
    .enum(["airframe", "rod", "post", "dropped"])
    .describe(
      "what the point is on: the airframe (enters the pose), the launcher's rod, a post that stands still (takes camera shake out), or a dropped object (checks the capture rate)",
    ),
  body: z
    .strictObject({
      forwardM: measured("m, forward from the balance point along the pitch reference line"),
      upM: measured("m, towards the upper side of the airframe"),
    })
    .nullable()
    .describe("tape-measured place on the airframe, used to check the scale; null when not measured"),
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
});

const ValveSchema = z.strictObject({
  conductance: measuredPositive("m³/(s·Pa), sonic conductance C of ISO 6358; 1 dm³/(s·bar) = 1e-8 m³/(s·Pa)"),
  criticalRatio: measured("1, critical pressure ratio b of ISO 6358, between 0 and 1"),
});

export const LauncherSchema = z.strictObject({
  kind: z.literal("compressed-air-ram").describe("which launch model the launcher is given to"),
  name: z.string().max(80).describe("what the person calls the launcher"),
  tankVolumeM3: measuredPositive("m³, tank volume with the pipe up to the valve"),
  tankMaterial: z.enum(["metal", "plastic-pipe", "unknown"]).describe("decides which caution is shown"),
  tankRatingPa: z
    .number()
    .positive()
    .nullable()
    .describe("Pa gauge, the maker's rating of the weakest pressure part; null when unknown"),
  boreM: measuredPositive("m, cylinder bore"),
  strokeM: measuredPositive("m, travel from rest until contact with the airframe ends"),
  deadVolumeM3: measuredPositive("m³, volume between valve and piston at rest"),
  valve: ValveSchema,
  openingS: measuredNonnegative("s, time the valve takes to open fully (linear in flow area); 0 for instant"),
  movingMassKg: measuredNonnegative("kg, piston, rod and cradle that move with the airframe"),
  angleRad: measured("rad, push direction above the horizontal"),
  breakawayN: measuredNonnegative("N, friction to overcome before motion starts"),
  slidingN: measuredNonnegative("N, constant friction while moving"),
  viscousNsPerM: measuredNonnegative("N·s/m, friction proportional to speed"),
  rodChamber: z
    .strictObject({
      rodDiameterM: measuredPositive("m, piston rod diameter"),
      volumeM3: measuredPositive("m³, rod side volume left at the end of the stroke"),
      vent: ValveSchema,
    })
    .nullable()
    .describe("closed rod side with a vent; null when the rod side is open to the air"),
  gas: z
    .enum(["adiabatic", "isothermal"])
    .describe("heat exchange of the gas with the walls during the shot"),
});
