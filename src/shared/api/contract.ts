import { z } from "zod";
import { FOLLOW_DOUBTS, FOLLOW_STOPS } from "../follow/followed.ts";
import { ClipFactsSchema } from "../session/clip-facts.ts";
import { SessionSchema } from "../session/schema.ts";

/**
 * The service contract, all under /api, JSON unless noted. Failures: { error: Fault } with a 4xx or 5xx status.
 *
 * GET    /api/session                      -> SessionReply
 * PUT    /api/session   SessionSave        -> SaveReply; 409 "session-changed" when baseRevision is not current
 * GET    /api/clips                        -> ClipsReply: the videos of the field folder
 * POST   /api/jobs      JobRequest         -> JobReply (201)
 * GET    /api/jobs/:id                     -> JobReply
 * DELETE /api/jobs/:id                     -> JobReply, cancelled
 * GET    /api/clips/:name/frames/:index?size=full|half  -> image/jpeg, the exact frame; extracts what is missing
 * GET    /api/clips/:name/damage           -> DamageReply: the frames known so far that cannot be shown
 */
export const SessionReplySchema = z.strictObject({
  session: SessionSchema,
  revision: z.string().describe("changes with every save"),
  folderName: z.string(),
  existed: z
    .boolean()
    .describe("false when the folder held no loftmark.json yet and this is a fresh session"),
});
export const SessionSaveSchema = z.strictObject({ session: SessionSchema, baseRevision: z.string() });
export const SaveReplySchema = z.strictObject({ revision: z.string() });

export const ClipEntrySchema = z.strictObject({ name: z.string(), bytes: z.int(), modifiedMs: z.number() });
export const ClipsReplySchema = z.strictObject({ clips: z.array(ClipEntrySchema) });

const frame = z.int().nonnegative();
export const DamageReplySchema = z.strictObject({
  damaged: z.array(
    z.strictObject({
      frame,
      why: z.string().describe("in words that go on from: it is damaged in the file"),
    }),
  ),
});
const place = z.tuple([z.number(), z.number()]).describe("px, as marks are");
const uPx = z.number().positive().describe("px, standard uncertainty of each coordinate");
const HandMarkSchema = z.strictObject({ frame, at: place, u: uPx });

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
    kind: z.literal("follow"),
    clip: z.string(),
    point: z.string().max(40).describe("what the person calls the point"),
    seed: HandMarkSchema.describe("the hand mark to follow from"),
    hands: z.array(HandMarkSchema).describe("every hand mark of the point; they are met, never replaced"),
    to: frame.describe("last frame, inclusive; before the seed's: backwards"),
    exposureShare: z
      .number()
      .nonnegative()
      .nullable()
      .describe("exposure of a frame over the time from frame to frame; null when not known"),
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

export const FaultSchema = z.strictObject({ code: z.string(), cause: z.string(), remedy: z.string() });
export const JobReplySchema = z.strictObject({
  id: z.string(),
  kind: z.enum(["inspect", "extract", "differences", "follow", "write-up"]),
  state: z.enum(["running", "done", "failed", "cancelled"]),
  doing: z.string().describe("what it is doing, for a person"),
  fraction: z.number().min(0).max(1),
  secondsLeft: z.number().nonnegative().nullable(),
  error: FaultSchema.nullable(),
  facts: ClipFactsSchema.nullable().describe("result of inspect"),
  differences: z
    .array(z.number().nonnegative().nullable())
    .nullable()
    .describe(
      "result of differences: greatest grey level by which each frame differs from the one before; the first null",
    ),
  followed: FollowedSchema.nullable().describe("result of follow"),
  files: z.array(z.string()).nullable().describe("result of write-up: paths inside the field folder"),
});

export type SessionReply = z.infer<typeof SessionReplySchema>;
export type SessionSave = z.infer<typeof SessionSaveSchema>;
export type SaveReply = z.infer<typeof SaveReplySchema>;
export type ClipEntry = z.infer<typeof ClipEntrySchema>;
export type ClipsReply = z.infer<typeof ClipsReplySchema>;
export type DamageReply = z.infer<typeof DamageReplySchema>;
export type DamagedFrame = Readonly<DamageReply["damaged"][number]>;
export type JobRequest = z.infer<typeof JobRequestSchema>;
export type JobReply = z.infer<typeof JobReplySchema>;
