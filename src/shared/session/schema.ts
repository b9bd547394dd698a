import { z } from "zod";
import {
  BallSchema,
  CameraSchema,
  ClockSchema,
  LampSchema,
  type LensSchema,
  SiteSchema,
} from "./camera-schemas.ts";
import {
  type ElasticLauncherSchema,
  type LauncherSchema,
  ListedLauncherSchema,
  type RamLauncherSchema,
  type RocketLauncherSchema,
} from "./launcher-schemas.ts";
import { outingSchema } from "./outing-schemas.ts";
import {
  ControlPointsSchema,
  LevelSchema,
  MarkSchema,
  MovementSchema,
  PlumbSchema,
  ReleaseSchema,
  ScaleSchema,
  SettingSchema,
} from "./picture-schemas.ts";
import { referenceFaults } from "./references.ts";
import { id, measured, measuredNonnegative, measuredPositive } from "./schema-values.ts";
import { ShelvedSchema } from "./shelf-schemas.ts";
import { type AirframeSchema, ListedAirframeSchema, PointSchema } from "./thing-schemas.ts";
import { ListedTuningSchema, NextShotSchema, type TuningSchema } from "./tuning-schemas.ts";

/**
 * The session document, `loftmark.json`: everything a person told Loftmark about one outing.
 * SI units and radians throughout; every measured input is { value, u } with u the standard
 * uncertainty (k = 1). Pixels: the upright picture with square pixels, x right and y down, (0, 0) the
 * top left corner of the top left pixel, so that pixel centres lie at half integers. Frames count from
 * 0 in order of presentation.
 */

export const SESSION_FORMAT = "loftmark-session";
export const SESSION_VERSION = 3;

export const ConditionsSchema = z.strictObject({
  gaugePressurePa: measured("Pa, tank pressure above the surrounding air just before the shot").nullable(),
  temperatureK: measuredPositive("K, air temperature"),
  tankTemperatureK: measuredPositive(
    "K, air in the tank just before the shot: warm when just filled, cold after a shot; null or left out: the air's",
  )
    .nullable()
    .optional(),
  airPressurePa: measuredPositive("Pa, absolute pressure of the surrounding air"),
  headwindMPerS: measured("m/s, wind against the direction of launch; negative for a tailwind"),
  crosswindMPerS: measured(
    "m/s, wind from the left of the launch towards the right, seen from behind; negative the other way; null or left out: 0 with a u of 2 m/s is assumed",
  )
    .nullable()
    .optional(),
  gustMPerS: measuredNonnegative("m/s, strongest gust to allow for, from any side").nullable().optional(),
  releaseHeightM: measuredNonnegative("m, airframe above the ground at release").nullable().optional(),
  clearM: measuredPositive("m, distance from the launcher within which nobody is down range")
    .nullable()
    .optional(),
});

export const ShotSchema = z.strictObject({
  id: id.describe("name of the shot for the document and the results, unique in the session"),
  name: z.string().min(1).max(80).describe("what the person calls the shot"),
  clip: z.string().min(1).max(255).nullable().describe("file name of the clip in the field folder"),
  airframeId: id.describe("id of the airframe that was thrown"),
  launcherId: id.nullable().describe("id of the launcher that threw it; null when not said"),
  cameraId: id.nullable().describe("id of the camera that filmed the shot; null when not said"),
  conditions: ConditionsSchema,
  clock: ClockSchema.nullable(),
  scale: ScaleSchema.nullable(),
  rods: z.array(ScaleSchema).optional().describe("further rods in the flight plane, combined with the scale"),
  control: ControlPointsSchema.optional().describe(
    "known points of the flight plane; used instead of rods, plumb and setting",
  ),
  setting: SettingSchema.optional().describe(
    "where the flight was, when it was not in the plane of the scale; left out when it was",
  ),
  plumb: PlumbSchema.nullable(),
  level: LevelSchema.optional().describe("a line known to be level, combined with the plumb"),
  movement: MovementSchema.optional().describe(
    "how the camera moved, from the still background; taken out where no post is marked",
  ),
  lamp: LampSchema.optional().describe("a blinking lamp in view, which checks the capture rate"),
  ball: BallSchema.optional().describe("the dropped object, so that its drag can be allowed for"),
  release: ReleaseSchema,
  direction: z
    .enum(["right", "left"])
    .describe("the way the airframe flies in the picture; pitch is positive nose up either way"),
  marks: z.array(MarkSchema),
  altimeter: z
    .strictObject({
      apogeeM: measured("m, greatest height above the launcher that the altimeter reports"),
      assumes: z
        .enum(["standard", "day"])
        .describe("whether the altimeter took a standard atmosphere or was told the day's temperature"),
    })
    .optional()
    .describe("an altimeter carried on a vertical shot: an independent check of the release speed"),
  log: z
    .strictObject({
      name: z.string().min(1).max(255).describe("file name of the log in the field folder"),
      bytes: z.int().nonnegative().describe("length of that file when it was taken"),
      fingerprint: z
        .string()
        .regex(/^sha256-[0-9a-f]{64}$/)
        .describe("SHA-256 of that file, so that another of the same name is noticed"),
      column: z
        .string()
        .max(200)
        .nullable()
        .describe("column that is read; null for the first that is named for it"),
      unit: z
        .enum(["m", "cm", "ft", "m/s²", "ft/s²", "g"])
        .nullable()
        .describe("unit of that column; null for the one in the file's header"),
      assumes: z
        .enum(["standard", "day"])
        .describe("whether an altimeter took a standard atmosphere or was told the day's temperature"),
      untilS: z
        .number()
        .positive()
        .nullable()
        .describe("s after release that are fitted; null for as far as usual"),
    })
    .optional()
    .describe(
      "a log of height or acceleration carried on board: an independent measurement of the release speed",
    ),
  notes: z.string().max(10_000).describe("free text of the person"),
});

export const NotedClipSchema = z.strictObject({
  name: z.string().min(1).max(255).describe("file name of the clip, as shots name it"),
  bytes: z.int().nonnegative().describe("length of the file the marks were placed in"),
  fingerprint: z
    .string()
    .regex(/^sha256-[0-9a-f]{64}$/)
    .describe("SHA-256 of the whole file the marks were placed in"),
});

export const OutingSchema = outingSchema(ConditionsSchema);

export const SessionSchema = z
  .strictObject({
    format: z.literal(SESSION_FORMAT).describe("tells a session from other JSON files"),
    version: z
      .literal(SESSION_VERSION)
      .describe("version of this format; older ones are migrated on opening"),
    title: z.string().max(120).describe("what the person calls the outing"),
    units: z.enum(["SI", "field"]).describe("what the person reads; the document stays SI"),
    points: z.array(PointSchema).describe("the named points, those of all airframes among them"),
    airframes: z.array(ListedAirframeSchema).min(1).describe("what was thrown"),
    launchers: z.array(ListedLauncherSchema).describe("what threw it, as stated"),
    cameras: z.array(CameraSchema),
    site: SiteSchema.optional().describe("where the field is: sets local gravity for drop checks"),
    shots: z.array(ShotSchema),
    tunings: z.array(ListedTuningSchema).optional().describe("of each launcher that was tuned"),
    nextShot: NextShotSchema.optional(),
    clips: z
      .array(NotedClipSchema)
      .optional()
      .describe("content of the clips that shots use, so that another clip of the same name is noticed"),
    outings: z
      .array(OutingSchema)
      .optional()
      .describe("other field folders whose shots count with these, each with a copy of the numbers needed"),
    shelved: z
      .array(ShelvedSchema)
      .optional()
      .describe("which of its things were taken from the person's shelf, or kept on it"),
  })
  .superRefine((session, context) => {
    for (const { path, message } of referenceFaults(session)) {
      context.addIssue({ code: "custom", path: [...path], message });
    }
  })
  .meta({ title: "Loftmark session", description: "The document loftmark.json in a field folder" });

export type Session = Readonly<z.infer<typeof SessionSchema>>;
export type Shot = Readonly<z.infer<typeof ShotSchema>>;
export type Outing = Readonly<z.infer<typeof OutingSchema>>;
export type Point = Readonly<z.infer<typeof PointSchema>>;
export type Mark = Readonly<z.infer<typeof MarkSchema>>;
export type Airframe = Readonly<z.infer<typeof AirframeSchema>>;
export type ListedAirframe = Readonly<z.infer<typeof ListedAirframeSchema>>;
export type Launcher = Readonly<z.infer<typeof LauncherSchema>>;
export type ListedLauncher = Readonly<z.infer<typeof ListedLauncherSchema>>;
export type RamLauncher = Readonly<z.infer<typeof RamLauncherSchema>>;
export type RocketLauncher = Readonly<z.infer<typeof RocketLauncherSchema>>;
export type Motor = RocketLauncher["motors"][number];
export type ElasticLauncher = Readonly<z.infer<typeof ElasticLauncherSchema>>;
export type Tuning = Readonly<z.infer<typeof TuningSchema>>;
export type ListedTuning = Readonly<z.infer<typeof ListedTuningSchema>>;
export type NextShot = Readonly<z.infer<typeof NextShotSchema>>;
export type Camera = Readonly<z.infer<typeof CameraSchema>>;
export type Conditions = Readonly<z.infer<typeof ConditionsSchema>>;
export type Clock = Readonly<z.infer<typeof ClockSchema>>;
export type Scale = Readonly<z.infer<typeof ScaleSchema>>;
export type Plumb = Readonly<z.infer<typeof PlumbSchema>>;
export type Level = Readonly<z.infer<typeof LevelSchema>>;
export type ControlPoints = Readonly<z.infer<typeof ControlPointsSchema>>;
export type Setting = Readonly<z.infer<typeof SettingSchema>>;
export type Ball = Readonly<z.infer<typeof BallSchema>>;
export type Movement = Readonly<z.infer<typeof MovementSchema>>;
export type Site = Readonly<z.infer<typeof SiteSchema>>;
export type Lamp = Readonly<z.infer<typeof LampSchema>>;
export type LensData = Readonly<z.infer<typeof LensSchema>>;
