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

export const ConditionsSchema = z.strictObject({
  gaugePressurePa: measured("Pa, tank pressure above the surrounding air just before the shot").nullable(),
  temperatureK: measuredPositive("K, air temperature"),
  airPressurePa: measuredPositive("Pa, absolute pressure of the surrounding air"),
  headwindMPerS: measured("m/s, wind against the direction of launch; negative for a tailwind"),
});

const RepeatsSchema = z.strictObject({
  frames: z.array(z.int().positive()).describe("frames that show the picture before them again, increasing"),
  kind: z
    .enum(["inserted", "stale"])
    .describe("inserted: padding that took no time; stale: a lost frame filled with the picture before"),
});

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
      gaps: z
        .array(
          z.strictObject({
            afterFrame: z.int().nonnegative().describe("the frame before the gap"),
            missing: z.int().positive().describe("frames that the file lacks there"),
          }),
        )
        .optional()
        .describe("frames the camera took that the file does not hold"),
    })
    .describe("slow motion stored at another rate: time = frame index / capture rate"),
  z
    .strictObject({
      kind: z.literal("timestamps").describe("time from the file's own timestamps"),
      rateError: measured("1, relative error of the file's clock, usually 0"),
      repeats: RepeatsSchema.optional(),
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

export const LevelSchema = z.strictObject({
  left: px,
  right: px,
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  tiltRad: u.describe("rad, standard uncertainty of the line's own level"),
});

export const ControlPointsSchema = z.strictObject({
  uPx: positive.describe("px, standard uncertainty of each picked coordinate"),
  uM: u.describe("m, standard uncertainty of each known coordinate"),
  points: z
    .array(
      z.strictObject({
        at: px,
        xM: finite.describe("m, horizontal place in the flight plane, to the right in the picture"),
        yM: finite.describe("m, height in the flight plane"),
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
  rods: z.array(ScaleSchema).optional().describe("further rods in the flight plane, combined with the scale"),
  control: ControlPointsSchema.optional().describe(
    "known points of the flight plane; used instead of rods, plumb and setting",
  ),
  setting: SettingSchema.optional().describe(
    "where the flight was, when it was not in the plane of the scale; left out when it was",
  ),
  plumb: PlumbSchema.nullable(),
  level: LevelSchema.optional().describe("a line known to be level, combined with the plumb"),
  lamp: LampSchema.optional().describe("a blinking lamp in view, which checks the capture rate"),
  ball: BallSchema.optional().describe("the dropped object, so that its drag can be allowed for"),
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
    site: SiteSchema.optional().describe("where the field is: sets local gravity for drop checks"),
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
export type Level = Readonly<z.infer<typeof LevelSchema>>;
export type ControlPoints = Readonly<z.infer<typeof ControlPointsSchema>>;
export type Setting = Readonly<z.infer<typeof SettingSchema>>;
export type Ball = Readonly<z.infer<typeof BallSchema>>;
export type Site = Readonly<z.infer<typeof SiteSchema>>;
export type Lamp = Readonly<z.infer<typeof LampSchema>>;
export type LensData = Readonly<z.infer<typeof LensSchema>>;
