import { z } from "zod";
import { FOLLOW_DOUBTS, FOLLOW_STOPS } from "../follow/followed.ts";
import type { FaultCode } from "../quantity/fault-codes.ts";
import { HEADINGS } from "../quantity/notice.ts";
import { ClipFactsSchema } from "../session/clip-facts.ts";
import { JournalStepSchema } from "../session/journal.ts";
import { MovementSchema } from "../session/picture-schemas.ts";
import { SessionSchema } from "../session/schema.ts";
import { ShotResultSchema, TunedLauncherSchema } from "./outcome-schemas.ts";

/**
 * The service contract, all under /api, JSON unless noted. Failures: { error: Fault }
 * with a 4xx or 5xx status.
 *
 * GET    /api/session                      -> SessionReply PUT    /api/session   SessionSave        ->
 *        SaveReply; 409 "session-changed" when baseRevision is not current
 *        POST   /api/session/steps    StepsSave   -> SaveReply; the same for the steps since baseRevision
 *        POST   /api/session/recover  Recover     -> RecoverReply: a state of the history in place of a
 *        broken file GET    /api/history                      -> HistoryReply: what was done, the newest
 *        first GET    /api/history/undo                 -> UndoReply: the steps that lead to the last state
 *        GET    /api/history/:moment              -> MomentReply: the session as it was
 *        GET    /api/measured                     -> MeasuredReply: results kept of the shots, each with the
 *        key of what it was computed from; for whoever computes the same key
 *        PUT    /api/measured         KeptMeasurement -> {}: kept in place of the shot's result before
 *        GET    /api/clips                        -> ClipsReply: the videos of the field folder
 *        POST   /api/jobs      JobRequest         -> JobReply (201)
 *        GET    /api/jobs                         -> JobsReply: the folder's jobs that run, and those whose
 *        result was not taken GET    /api/jobs/:id                     -> JobReply
 *        POST   /api/jobs/:id/hold                -> JobReply: this window takes the result, unless another
 *        one does DELETE /api/jobs/:id                     -> JobReply: a running job is cancelled, the
 *        result of one that ended is taken GET    /api/clips/:name/frames/:index?size=full|half  ->
 *        image/jpeg, the exact frame; extracts what is missing GET    /api/clips/:name/damage           ->
 *        DamageReply: the frames known so far that are damaged or in doubt
 *
 *        GET    /api/logs                         -> LogsReply: the CSV files of the field folder
 *        GET    /api/logs/:name                   -> LogReply: the text of one, with its fingerprint
 *        GET    /api/shelf                        -> ShelfReply: the person's shelf
 *        POST   /api/shelf     ShelfChange        -> ShelfChangedReply: kept, put away or brought back
 *
 * Jobs on the session name a revision and the steps made since; 409 "session-moved-on" when the folder
 * has another session by now.
 *
 * Requests about jobs may name the window that asks in the header loftmark-window. A job is held by the
 * window that started it for as long as that window goes on asking; then by the first other one that holds
 * it. Results wait until they are taken.
 */
export const WINDOW_HEADER = "loftmark-window";

export const SessionReplySchema = z.strictObject({
  session: SessionSchema,
  revision: z.string().describe("changes with every save"),
  folderName: z.string(),
  existed: z
    .boolean()
    .describe("false when the folder held no loftmark.json yet and this is a fresh session"),
  before: z
    .string()
    .nullable()
    .describe(
      "moment of the history's last state, when another program changed the session since; else null",
    ),
  access: z.enum(["writable", "read-only"]).describe("read-only: nothing can be saved in the folder"),
  readOnlyReason: z.string().nullable().describe("why it is read-only, in words that follow a colon"),
});
export const SessionSaveSchema = z.strictObject({ session: SessionSchema, baseRevision: z.string() });
export const StepsSaveSchema = z.strictObject({
  steps: z.array(JournalStepSchema).min(1),
  baseRevision: z.string(),
});
export const SaveReplySchema = z.strictObject({ revision: z.string() });
export const RecoverSchema = z.strictObject({ moment: z.string() });
export const RecoverReplySchema = z.strictObject({
  keptAs: z.string().describe("name that the broken file has now"),
});

const MomentSchema = z.strictObject({
  id: z.string().describe("names the state after the step"),
  at: z.string(),
  kind: z.enum(["do", "joins", "undo", "redo", "note", "outside"]),
  says: z.string(),
  place: z.strictObject({
    shotId: z.string().nullable(),
    frame: z.int().nullable(),
    heading: z.enum(HEADINGS).nullable(),
  }),
});
export const HistoryReplySchema = z.strictObject({ moments: z.array(MomentSchema) });
export const UndoReplySchema = z.strictObject({
  undo: z
    .strictObject({
      from: SessionSchema,
      steps: z.array(JournalStepSchema),
      revision: z.string().describe("of the session after the last step"),
    })
    .nullable()
    .describe("null when nothing can be undone"),
});
export const MomentReplySchema = z.strictObject({ session: SessionSchema });

export const FaultSchema = z.strictObject({
  // Any text passes: a code that this build does not know must still bring its cause and remedy.
  code: z.string() as z.ZodType<string> as z.ZodType<FaultCode>,
  cause: z.string(),
  remedy: z.string(),
});

export const ClipEntrySchema = z.strictObject({
  name: z.string(),
  bytes: z.int(),
  modifiedMs: z.number(),
  fault: FaultSchema.optional().describe("why the clip cannot be used as it lies there; its size is then 0"),
});
export const ClipsReplySchema = z.strictObject({ clips: z.array(ClipEntrySchema) });

export const LogsReplySchema = z.strictObject({ logs: z.array(z.string()) });
export const LogReplySchema = z.strictObject({
  name: z.string(),
  bytes: z.int(),
  fingerprint: z.string().describe("sha256- and 64 hexadecimal digits, of the whole file"),
  text: z.string(),
});

export const KeptMeasurementSchema = z.strictObject({
  shotId: z.string().min(1).max(200),
  key: z.string().max(200).describe("of what it was computed from, as resultKey gives it"),
  result: ShotResultSchema,
});
export const MeasuredReplySchema = z.strictObject({ measured: z.array(KeptMeasurementSchema) });

export const NothingSchema = z.strictObject({});

const frame = z.int().nonnegative();
export const DamageReplySchema = z.strictObject({
  damaged: z.array(
    z.strictObject({
      frame,
      why: z.string().describe("in words that go on from: it is damaged in the file"),
      shown: z.boolean().describe("whether it can be shown all the same: then it is in doubt"),
    }),
  ),
});
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
    "fingerprint",
    "follow",
    "tune",
    "draw",
    "write-up",
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
  followed: z.array(FollowedSchema).nullable().describe("result of follow, one for each of its ways"),
  reached: z
    .array(frame)
    .optional()
    .describe("of follow while it runs: the frame each of its ways has come to"),
  tuned: TunedLauncherSchema.nullable().describe("result of tune"),
  drawn: ShotResultSchema.nullable().describe("result of draw"),
  files: z.array(z.string()).nullable().describe("result of write-up: paths inside the field folder"),
  about: JobAboutSchema.nullable().describe("null for jobs whose result does not wait"),
  endedAt: z.iso.datetime().nullable(),
  heldElsewhere: z.boolean().describe("another window that is open takes the result"),
  taken: z.boolean(),
});
export const JobsReplySchema = z.strictObject({ jobs: z.array(JobReplySchema) });

export type SessionReply = z.infer<typeof SessionReplySchema>;
export type SessionSave = z.infer<typeof SessionSaveSchema>;
export type StepsSave = z.infer<typeof StepsSaveSchema>;
export type RecoverReply = z.infer<typeof RecoverReplySchema>;
export type Moment = z.infer<typeof MomentSchema>;
export type HistoryReply = z.infer<typeof HistoryReplySchema>;
export type UndoReply = z.infer<typeof UndoReplySchema>;
export type MomentReply = z.infer<typeof MomentReplySchema>;
export type SaveReply = z.infer<typeof SaveReplySchema>;
export type KeptMeasurement = Readonly<z.infer<typeof KeptMeasurementSchema>>;
export type MeasuredReply = z.infer<typeof MeasuredReplySchema>;
export type ClipEntry = z.infer<typeof ClipEntrySchema>;
export type ClipsReply = z.infer<typeof ClipsReplySchema>;
export type LogsReply = z.infer<typeof LogsReplySchema>;
export type LogReply = Readonly<z.infer<typeof LogReplySchema>>;
export type DamageReply = z.infer<typeof DamageReplySchema>;
export type DamagedFrame = Readonly<DamageReply["damaged"][number]>;
export type WindowDocument = z.infer<typeof WindowDocumentSchema>;
export type JobRequest = z.infer<typeof JobRequestSchema>;
export type JobReply = z.infer<typeof JobReplySchema>;
export type JobAbout = z.infer<typeof JobAboutSchema>;
export type JobsReply = z.infer<typeof JobsReplySchema>;
