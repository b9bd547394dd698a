import { z } from "zod";
import { FOLLOW_DOUBTS, FOLLOW_STOPS } from "../follow/followed.ts";
import { ClipFactsSchema } from "../session/clip-facts.ts";
import { JournalStepSchema } from "../session/journal.ts";
import { MovementSchema } from "../session/picture-schemas.ts";
import { OutingSchema } from "../session/schema.ts";
import { FaultSchema } from "./fault-schema.ts";
import { LookedForSetUpSchema, ShotResultSchema, TunedLauncherSchema } from "./outcome-schemas.ts";

/* The part of the service contract that is about jobs: what a window asks for, and what comes of it. */

const frame = z.int().nonnegative();
const place = z.tuple([z.number(), z.number()]).describe("px, as marks are");
const uPx = z.number().positive().describe("px, standard uncertainty of each coordinate");
const HandMarkSchema = z.strictObject({ frame, at: place, u: uPx });

/**
 * The document of a window: what the folder has, and what the window has made of it
 * since. It never travels whole.
 */
const WindowDocumentSchema = z.strictObject({
  revision: z.string().describe("of the session as the window last knew it to be saved"),
  steps: z
    .array(JournalStepSchema)
    .describe("made since, in their order; those that have reached the folder meanwhile do no harm"),
});

/** One point, from a hand mark on, one way. */
const FollowWaySchema = z.strictObject({
  pointId: z.string().optional(),
  point: z.string().max(40).describe("what the person calls the point"),
  seed: HandMarkSchema.describe("the hand mark to follow from"),
  hands: z.array(HandMarkSchema).describe("every hand mark of the point; they are met, never replaced"),
  to: frame.describe("last frame, inclusive; before the seed's: backwards"),
  exposureShare: z
    .number()
    .nonnegative()
    .nullable()
    .describe("exposure of a frame over the time from frame to frame; null when not known"),
});

export const JobRequestSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("inspect"), clip: z.string() }),
  z.strictObject({
    kind: z.literal("extract"),
    clip: z.string(),
    from: z.int().nonnegative(),
    to: z.int().nonnegative().describe("last frame, inclusive"),
    size: z.enum(["full", "half"]),
  }),
  z.strictObject({ kind: z.literal("differences"), clip: z.string() }),
  z.strictObject({
    kind: z.literal("look"),
    clip: z.string(),
    from: frame.describe("first frame of the stretch in which the camera is looked at"),
    to: frame.describe("last frame, inclusive"),
  }),
  z.strictObject({ kind: z.literal("propose"), clip: z.string() }),
  z.strictObject({
    kind: z.literal("steady"),
    clip: z.string(),
    shotId: z.string(),
    document: WindowDocumentSchema,
  }),
  z.strictObject({
    kind: z.literal("carry"),
    clip: z.string(),
    shotId: z.string().describe("the shot of that clip, which is to be set up"),
    asShotId: z.string().describe("the shot whose set-up is looked for on the clip"),
    document: WindowDocumentSchema,
  }),
  z.strictObject({ kind: z.literal("fingerprint"), clip: z.string() }),
  z.strictObject({
    kind: z.literal("follow"),
    clip: z.string(),
    shotId: z
      .string()
      .optional()
      .describe("with the points' ids: whose marks these will be, so that they can wait"),
    ways: z.array(FollowWaySchema).min(1).describe("what is followed, all in one pass through the clip"),
  }),
  z.strictObject({
    kind: z.literal("tune"),
    document: WindowDocumentSchema,
    launcherId: z.string(),
    parameters: z.array(z.string()),
    shotIds: z.array(z.string()),
    heldOutShotIds: z.array(z.string()),
  }),
  z.strictObject({
    kind: z.literal("draw"),
    document: WindowDocumentSchema,
    shotId: z.string(),
    draws: z.int().min(100).max(100_000),
  }),
  z.strictObject({ kind: z.literal("write-up") }),
  z.strictObject({
    kind: z.literal("outing"),
    document: WindowDocumentSchema,
    path: z.string().max(1000).describe("of the other field folder, from this one or absolute"),
    outingId: z.string().nullable().describe("id of the outing that is read again; null for another one"),
  }),
]);

/** What the result of a job belongs to, so that a window opened later can tell whether it still fits. */
export const JobAboutSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("follow"),
    shotId: z.string(),
    clip: z.string(),
    clipVersion: z.string().describe("of the clip's content, as clipVersion gives it"),
    ways: z.array(
      z.strictObject({ pointId: z.string(), point: z.string(), seed: HandMarkSchema, to: frame }),
    ),
  }),
  z.strictObject({
    kind: z.literal("tune"),
    launcherId: z.string(),
    parameters: z.array(z.string()),
    shotIds: z.array(z.string()),
    heldOutShotIds: z.array(z.string()),
    restsOn: z.string().describe("digest of what it rests on, as tuningRestsOn gives it"),
  }),
  z.strictObject({
    kind: z.literal("draw"),
    shotId: z.string(),
    draws: z.int(),
    restsOn: z.string().describe("digest of what it rests on, as shotRestsOn gives it"),
  }),
  z.strictObject({ kind: z.literal("write-up") }),
]);

export const FollowedSchema = z.strictObject({
  runs: z.array(
    z.strictObject({
      marks: z.array(
        z.strictObject({
          frame,
          at: place,
          u: uPx,
          likeness: z.number(),
          repeat: z.boolean(),
          renewals: z.int().nonnegative(),
          doubts: z.array(z.enum(FOLLOW_DOUBTS)),
        }),
      ),
      radiusPx: z.number().positive().describe("px, of the disc that was looked for"),
      handFrames: z.array(frame),
      commonU: uPx.describe("px, what the marks of the run are off together"),
    }),
  ),
  met: z.array(
    z.strictObject({
      frame,
      distancePx: z.number().nonnegative(),
      distanceU: z.number().nonnegative(),
      agrees: z.boolean(),
      begins: z.boolean(),
    }),
  ),
  end: z.strictObject({ why: z.enum(FOLLOW_STOPS), frame, number: z.number() }).nullable(),
});

/** What the program found in a clip, as shared/propose says of it. */
export const ProposalsSchema = z.strictObject({
  frame: frame.describe("the picture that was looked at, before the first motion"),
  moves: z.strictObject({ first: frame, last: frame }).nullable(),
  levels: z.array(z.number().nonnegative()).describe("grey levels by which each frame differs from the last"),
  targets: z.array(
    z.strictObject({
      kind: z.enum(["quarters", "cross"]),
      at: place,
      uPx,
      radiusPx: z.number().positive(),
      still: z.boolean().describe("it is at the same place after the launch"),
    }),
  ),
  rods: z.array(z.tuple([z.int().nonnegative(), z.int().nonnegative()])).describe("places in targets"),
  lines: z.array(z.strictObject({ top: place, bottom: place, uPx })),
});

export const JobReplySchema = z.strictObject({
  id: z.string(),
  kind: z.enum([
    "inspect",
    "extract",
    "differences",
    "look",
    "propose",
    "steady",
    "carry",
    "fingerprint",
    "follow",
    "tune",
    "draw",
    "write-up",
    "outing",
  ]),
  state: z.enum(["running", "done", "failed", "cancelled"]),
  doing: z.string().describe("what it is doing, for a person"),
  fraction: z.number().min(0).max(1),
  secondsLeft: z.number().nonnegative().nullable(),
  error: FaultSchema.nullable(),
  facts: ClipFactsSchema.nullable().describe("result of inspect"),
  fingerprint: z
    .string()
    .nullable()
    .optional()
    .describe("result of fingerprint; of inspect too, null when the whole file was not read yet"),
  differences: z
    .array(z.number().nonnegative().nullable())
    .nullable()
    .describe(
      "result of differences: greatest grey level by which each frame differs from the one before; the first null",
    ),
  camera: ClipFactsSchema.shape.camera.unwrap().nullable().optional().describe("result of look"),
  proposals: ProposalsSchema.nullable().optional().describe("result of propose"),
  movement: MovementSchema.nullable().optional().describe("result of steady"),
  setUp: LookedForSetUpSchema.nullable().optional().describe("result of carry"),
  followed: z.array(FollowedSchema).nullable().describe("result of follow, one for each of its ways"),
  reached: z
    .array(frame)
    .optional()
    .describe("of follow while it runs: the frame each of its ways has come to"),
  tuned: TunedLauncherSchema.nullable().describe("result of tune"),
  drawn: ShotResultSchema.nullable().describe("result of draw"),
  outing: OutingSchema.nullable().optional().describe("result of outing"),
  files: z.array(z.string()).nullable().describe("result of write-up: paths inside the field folder"),
  about: JobAboutSchema.nullable().describe("null for jobs whose result does not wait"),
  endedAt: z.iso.datetime().nullable(),
  heldElsewhere: z.boolean().describe("another window that is open takes the result"),
  taken: z.boolean(),
});
export const JobsReplySchema = z.strictObject({ jobs: z.array(JobReplySchema) });

export type WindowDocument = z.infer<typeof WindowDocumentSchema>;
export type JobRequest = z.infer<typeof JobRequestSchema>;
export type JobReply = z.infer<typeof JobReplySchema>;
export type JobAbout = z.infer<typeof JobAboutSchema>;
export type JobsReply = z.infer<typeof JobsReplySchema>;
