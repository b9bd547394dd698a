import { z } from "zod";
import {
  ELASTIC_DRAW,
  ELASTIC_LENGTH,
  ELASTIC_LOAD,
  ELASTIC_PULL,
  ELASTIC_SCALE,
} from "../inputs/elastic-inputs.ts";
import {
  RAM_CYLINDER,
  RAM_FEED,
  RAM_FRICTION,
  RAM_LEAK,
  RAM_MOVING,
  RAM_OPENING,
  RAM_SEAT,
  RAM_TANK,
} from "../inputs/ram-rows.ts";
import { ROCKET_BOOSTER, ROCKET_CRADLE } from "../inputs/rocket-inputs.ts";
import { measuredFields } from "./measured-fields.ts";
import { finite, id, measured, measuredNonnegative, measuredPositive } from "./schema-values.ts";

const ValveSchema = z.strictObject({
  conductance: measuredPositive("m³/(s·Pa), sonic conductance C of ISO 6358; 1 dm³/(s·bar) = 1e-8 m³/(s·Pa)"),
  criticalRatio: measured("1, critical pressure ratio b of ISO 6358, between 0 and 1"),
});

/** @param parts what moves on after release, in the plural */
const endStop = (parts: string) =>
  z
    .strictObject({
      bufferTravelM: measuredPositive(`m, travel in which the buffer stops ${parts}`),
      ratedLoadN: z
        .number()
        .positive()
        .nullable()
        .describe("N, rated load of the weakest joint at the stop; null when unknown"),
    })
    .optional()
    .describe("what stops the moving parts after release");

export const RamLauncherSchema = z.strictObject({
  kind: z.literal("compressed-air-ram").describe("which launch model the launcher is given to"),
  name: z.string().max(80).describe("what the person calls the launcher"),
  ...measuredFields(RAM_TANK),
  tankMaterial: z.enum(["metal", "plastic-pipe", "unknown"]).describe("decides which caution is shown"),
  tankRatingPa: z
    .number()
    .positive()
    .nullable()
    .describe("Pa gauge, the maker's rating of the weakest pressure part; null when unknown"),
  ratingShare: z
    .number()
    .positive()
    .max(1)
    .nullable()
    .optional()
    .describe("1, what temperature and age leave of the rating; null or left out: all of it"),
  reliefPa: z
    .number()
    .positive()
    .nullable()
    .optional()
    .describe("Pa gauge, at which the relief valve opens; null or left out when there is none"),
  ...measuredFields(RAM_CYLINDER),
  valve: ValveSchema,
  ...measuredFields(RAM_OPENING),
  openingCurve: z
    .array(z.tuple([finite, finite]))
    .min(2)
    .max(100)
    .optional()
    .describe(
      "[share of the opening time, share of the full area], times increasing from 0 to 1, areas from 0 to 1 and 1 at the last; straight lines between; left out: even",
    ),
  ...measuredFields(RAM_MOVING),
  hold: z
    .enum(["rests", "latch"])
    .optional()
    .describe(
      "rests or left out: the airframe leaves as soon as the ram no longer pushes it; latch: it is held until the end of the stroke",
    ),
  ...measuredFields(RAM_FRICTION),
  rodChamber: z
    .strictObject({
      rodDiameterM: measuredPositive("m, piston rod diameter"),
      volumeM3: measuredPositive("m³, rod side volume left at the end of the stroke"),
      vent: ValveSchema,
    })
    .nullable()
    .describe("closed rod side with a vent; null when the rod side is open to the air"),
  gas: z
    .enum(["adiabatic", "isothermal", "polytropic"])
    .describe("heat exchange of the gas with the walls during the shot"),
  polytropicExponent: measuredPositive(
    "1, exponent of the gas between 1 (isothermal) and 1.4 (adiabatic); read when gas is polytropic",
  ).optional(),
  moreValves: z
    .array(
      z.strictObject({
        valve: ValveSchema,
        openingS: measuredNonnegative("s, time this valve takes to open fully"),
        delayS: measuredNonnegative("s, from the first valve starting to open to this one starting"),
      }),
    )
    .max(8)
    .optional()
    .describe("further valves side by side with the first"),
  ...measuredFields(RAM_LEAK),
  ...measuredFields(RAM_FEED),
  ...measuredFields(RAM_SEAT),
  endStop: endStop("piston, rod and cradle"),
  baseRatedLoadN: z
    .number()
    .positive()
    .nullable()
    .optional()
    .describe("N, load along the push that the base's fixings are rated for; null when unknown"),
  fill: z
    .discriminatedUnion("by", [
      z.strictObject({
        by: z.literal("hand-pump").describe("pumped by hand"),
        strokeVolumeM3: measuredPositive("m³, air drawn in by one stroke"),
        clearanceM3: measuredNonnegative("m³, volume left in the pump at the end of a stroke"),
        strokesPerS: measuredPositive("1/s, strokes in a second"),
      }),
      z.strictObject({
        by: z.literal("compressor").describe("filled by a compressor"),
        freeAirM3PerS: measuredPositive("m³/s, free air delivered"),
      }),
    ])
    .optional()
    .describe("what fills the tank"),
});

const MotorSchema = z.strictObject({
  id: id.describe("name of the motor for the document, unique in the launcher"),
  name: z.string().min(1).max(80).describe("what the person calls the motor"),
  thrust: z
    .discriminatedUnion("by", [
      z.strictObject({
        by: z.literal("curve").describe("measured points"),
        points: z
          .array(z.tuple([finite, finite]))
          .min(2)
          .max(2000)
          .describe("[time s, thrust N], times increasing; straight lines between"),
      }),
      z.strictObject({
        by: z.literal("trapezoid").describe("rise, level and fall with a stated impulse"),
        totalImpulseNs: measuredPositive("N·s, total impulse"),
        meanThrustN: measuredPositive("N, total impulse over burn time"),
        riseS: measuredNonnegative("s, from ignition to full thrust"),
        fallS: measuredNonnegative("s, from full thrust to none"),
      }),
    ])
    .describe("thrust against time from ignition"),
  thrustScale: measuredPositive(
    "1, thrust of this motor over the curve; its u is the spread from motor to motor",
  ),
  propellantKg: measuredPositive("kg, propellant burnt"),
  aheadM: measured("m, nozzle forward of the centre of gravity; negative behind it"),
  aboveM: measured("m, thrust line above the centre of gravity"),
  rightM: measured("m, thrust line right of the centre of gravity, seen from behind"),
  tiltUpRad: measured("rad, thrust turned up from the pitch reference line"),
  tiltRightRad: measured("rad, thrust turned to the right"),
  delayS: measuredNonnegative("s, from the first ignition to this motor's"),
  lit: z.boolean().describe("false for a motor that fails to light"),
  ejectionS: measuredPositive("s, from burnout to the ejection charge").nullable(),
});

export const RocketLauncherSchema = z.strictObject({
  kind: z.literal("rocket-boost").describe("which launch model the launcher is given to"),
  name: z.string().max(80).describe("what the person calls the launcher"),
  ...measuredFields(ROCKET_CRADLE),
  turnsOnCradle: z
    .boolean()
    .optional()
    .describe(
      "true for a cradle that lets the airframe pitch and yaw from lift-off; left out or false for one that keeps it in line until it has left",
    ),
  ...measuredFields(ROCKET_BOOSTER),
  motors: z.array(MotorSchema).min(1).max(8),
});

export const ElasticLauncherSchema = z.strictObject({
  kind: z.literal("elastic-line").describe("which launch model the launcher is given to"),
  name: z.string().max(80).describe("what the person calls the launcher"),
  ...measuredFields(ELASTIC_PULL),
  ...measuredFields(ELASTIC_DRAW),
  loading: z
    .array(z.tuple([finite, finite]))
    .min(2)
    .max(500)
    .describe("[extension m, force N] measured while drawing out, extensions increasing from 0"),
  unloading: z
    .array(z.tuple([finite, finite]))
    .min(2)
    .max(500)
    .nullable()
    .describe(
      "[extension m, force N] measured while letting in, extensions increasing from 0; null when not measured",
    ),
  ...measuredFields(ELASTIC_SCALE),
  lines: z.number().int().min(1).max(20).describe("lines side by side"),
  ...measuredFields(ELASTIC_LOAD),
  ...measuredFields(ELASTIC_LENGTH),
  stretchLimit: z
    .number()
    .positive()
    .nullable()
    .optional()
    .describe("1, greatest extension over free length that the line is drawn to; null when unknown"),
  anchorRatedLoadN: z
    .number()
    .positive()
    .nullable()
    .optional()
    .describe("N, pull of all lines together that their anchor is rated for; null when unknown"),
  endStop: endStop("carriage and line"),
});

const NoModelLauncherSchema = z.strictObject({
  kind: z.literal("no-model").describe("a throw by hand, or a launcher no model describes"),
  name: z.string().max(80).describe("what the person calls the launcher"),
});

export const LauncherSchema = z.discriminatedUnion("kind", [
  RamLauncherSchema,
  RocketLauncherSchema,
  ElasticLauncherSchema,
  NoModelLauncherSchema,
]);

const listed = { id: id.describe("name of the launcher for the document, unique in the session") };

/** A launcher in the list of the session. */
export const ListedLauncherSchema = z.discriminatedUnion("kind", [
  RamLauncherSchema.extend(listed),
  RocketLauncherSchema.extend(listed),
  ElasticLauncherSchema.extend(listed),
  NoModelLauncherSchema.extend(listed),
]);
