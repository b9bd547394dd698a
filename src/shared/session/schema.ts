import { z } from "zod";

/**
 * The session document, `loftmark.json`: everything a person told Loftmark about one outing.
 * SI units and radians throughout; every measured input is { value, u } with u the standard uncertainty (k = 1).
 * Pixels: the upright picture with square pixels, x right and y down, (0, 0) the top left corner of the top left
 * pixel, so that pixel centres lie at half integers. Frames count from 0 in order of presentation.
 */

export const SESSION_FORMAT = "loftmark-session";
export const SESSION_VERSION = 1;

const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,63}$/, "lower-case letters, digits and hyphens");
const finite = z.number();
const positive = finite.positive();
const u = finite.nonnegative();

function measured(meaning: string) {
  return z
    .strictObject({ value: finite, u: u.describe("standard uncertainty, same unit") })
    .describe(meaning);
}
function measuredPositive(meaning: string) {
  return z
    .strictObject({ value: positive, u: u.describe("standard uncertainty, same unit") })
    .describe(meaning);
}
function measuredNonnegative(meaning: string) {
  return z.strictObject({ value: u, u: u.describe("standard uncertainty, same unit") }).describe(meaning);
}

const px = z.tuple([finite, finite]).describe("[x, y] in pixels of the upright, square-pixel picture");

export const PointSchema = z.strictObject({
  id: id.describe("name of the point for the document, unique in the session"),
  name: z.string().min(1).max(40).describe("what the person calls the point, e.g. nose"),
  on: z.enum(["airframe", "rod"]).describe("what the point is fixed to; only airframe points enter the pose"),
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

export const CameraSchema = z.strictObject({
  id: id.describe("name of the camera for the document, unique in the session"),
  name: z.string().max(80).describe("what the person calls the camera"),
  captureRateHz: measuredPositive("Hz, frames per second the camera takes while filming the launch"),
  exposureS: z.number().positive().nullable().describe("s, exposure of one frame; null when unknown"),
});

export const ConditionsSchema = z.strictObject({
  gaugePressurePa: measured("Pa, tank pressure above the surrounding air just before the shot").nullable(),
  temperatureK: measuredPositive("K, air temperature"),
  airPressurePa: measuredPositive("Pa, absolute pressure of the surrounding air"),
  headwindMPerS: measured("m/s, wind against the direction of launch; negative for a tailwind"),
});

export const ClockSchema = z.discriminatedUnion("kind", [
  z
    .strictObject({
      kind: z.literal("capture-rate").describe("time from the camera's capture rate"),
      captureRateHz: measuredPositive("Hz, what the camera did"),
    })
    .describe("slow motion stored at another rate: time = frame index / capture rate"),
  z
    .strictObject({
      kind: z.literal("timestamps").describe("time from the file's own timestamps"),
      rateError: measured("1, relative error of the file's clock, usually 0"),
    })
    .describe("the file plays in real time: time = the frame's own timestamp"),
]);

export const ScaleSchema = z.strictObject({
  a: px.describe("one end of the scale rod"),
  b: px.describe("the other end"),
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  rodM: measuredPositive("m, length of the rod between the two picked ends"),
});

export const PlumbSchema = z.strictObject({
  top: px,
  bottom: px,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  hangRad: u.describe("rad, standard uncertainty of the line's own verticality"),
});

export const PostSchema = z.strictObject({
  id: id.describe("name of the post for the document"),
  name: z.string().min(1).max(40).describe("what the person calls the post"),
  at: px,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
});

export const MarkSchema = z.strictObject({
  pointId: id.describe("id of the point that is marked"),
  frame: z.int().nonnegative().describe("frame index, from 0 in order of presentation"),
  x: finite.describe("px, from the left edge of the upright picture"),
  y: finite.describe("px, from the top edge of the upright picture, downward"),
  u: positive.describe("px, standard uncertainty of each coordinate"),
  by: z.enum(["hand", "follower"]).describe("who placed the mark"),
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
]);

export const ShotSchema = z.strictObject({
  id: id.describe("name of the shot for the document and the results, unique in the session"),
  name: z.string().min(1).max(80).describe("what the person calls the shot"),
  clip: z.string().min(1).max(255).nullable().describe("file name of the clip in the field folder"),
  cameraId: id.nullable().describe("id of the camera that filmed the shot; null when not said"),
  conditions: ConditionsSchema,
  clock: ClockSchema.nullable(),
  scale: ScaleSchema.nullable(),
  plumb: PlumbSchema.nullable(),
  posts: z.array(PostSchema),
  release: ReleaseSchema,
  direction: z
    .enum(["right", "left"])
    .describe("the way the airframe flies in the picture; pitch is positive nose up either way"),
  marks: z.array(MarkSchema),
  notes: z.string().max(10_000).describe("free text of the person"),
});

export const SessionSchema = z
  .strictObject({
    format: z.literal(SESSION_FORMAT).describe("tells a session from other JSON files"),
    version: z
      .literal(SESSION_VERSION)
      .describe("version of this format; older ones are migrated on opening"),
    title: z.string().max(120).describe("what the person calls the outing"),
    units: z.enum(["SI", "field"]).describe("what the person reads; the document stays SI"),
    points: z.array(PointSchema).describe("the named points, shared by all shots of the session"),
    airframe: AirframeSchema,
    launcher: LauncherSchema.nullable(),
    cameras: z.array(CameraSchema),
    shots: z.array(ShotSchema),
  })
  .superRefine((session, context) => {
    checkUnique(
      session.points.map((p) => p.id),
      ["points"],
      context,
    );
    checkUnique(
      session.cameras.map((c) => c.id),
      ["cameras"],
      context,
    );
    checkUnique(
      session.shots.map((s) => s.id),
      ["shots"],
      context,
    );
    const points = new Set(session.points.map((p) => p.id));
    const cameras = new Set(session.cameras.map((c) => c.id));
    const cg = session.airframe.centreOfGravity;
    for (const pointId of cg ? [cg.fromPointId, cg.towardPointId] : []) {
      if (!points.has(pointId)) {
        context.addIssue({
          code: "custom",
          path: ["airframe", "centreOfGravity"],
          message: `no point "${pointId}"`,
        });
      }
    }
    session.shots.forEach((shot, i) => {
      if (shot.cameraId !== null && !cameras.has(shot.cameraId)) {
        context.addIssue({
          code: "custom",
          path: ["shots", i, "cameraId"],
          message: `no camera "${shot.cameraId}"`,
        });
      }
      const seen = new Set<string>();
      shot.marks.forEach((mark, j) => {
        const key = `${mark.frame} ${mark.pointId}`;
        if (!points.has(mark.pointId)) {
          context.addIssue({
            code: "custom",
            path: ["shots", i, "marks", j],
            message: `no point "${mark.pointId}"`,
          });
        } else if (seen.has(key)) {
          context.addIssue({
            code: "custom",
            path: ["shots", i, "marks", j],
            message: `second mark of "${mark.pointId}" in frame ${mark.frame}`,
          });
        }
        seen.add(key);
      });
    });
  })
  .meta({ title: "Loftmark session", description: "The document loftmark.json in a field folder" });

function checkUnique(ids: readonly string[], path: string[], context: z.core.$RefinementCtx) {
  const twice = ids.find((one, i) => ids.indexOf(one) !== i);
  if (twice !== undefined)
    context.addIssue({ code: "custom", path, message: `two entries with the id "${twice}"` });
}

export type Session = Readonly<z.infer<typeof SessionSchema>>;
export type Shot = Readonly<z.infer<typeof ShotSchema>>;
export type Point = Readonly<z.infer<typeof PointSchema>>;
export type Mark = Readonly<z.infer<typeof MarkSchema>>;
export type Airframe = Readonly<z.infer<typeof AirframeSchema>>;
export type Launcher = Readonly<z.infer<typeof LauncherSchema>>;
export type Camera = Readonly<z.infer<typeof CameraSchema>>;
export type Conditions = Readonly<z.infer<typeof ConditionsSchema>>;
export type Clock = Readonly<z.infer<typeof ClockSchema>>;
export type Scale = Readonly<z.infer<typeof ScaleSchema>>;
export type Plumb = Readonly<z.infer<typeof PlumbSchema>>;
export type Post = Readonly<z.infer<typeof PostSchema>>;
