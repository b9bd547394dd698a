import { z } from "zod";
import { HEADINGS } from "../quantity/notice.ts";
import { TruthSchema } from "../results/results-schema.ts";
import { JournalStepSchema } from "../session/journal.ts";
import { SessionSchema } from "../session/schema.ts";
import { FaultSchema } from "./fault-schema.ts";
import { ShotResultSchema } from "./outcome-schemas.ts";

/**
 * The service contract, all under /api, JSON unless noted. Failures: { error: Fault }
 * with a 4xx or 5xx status.
 *
 * GET    /api/session                     SessionReply
 * PUT    /api/session                     SessionSave -> SaveReply; 409 "session-changed" for a
 *                                         baseRevision that is not current
 * POST   /api/session/steps               StepsSave -> SaveReply; the same for the steps since then
 * POST   /api/session/recover             Recover -> RecoverReply: an earlier state for a broken file
 * GET    /api/history                     HistoryReply: what was done, the newest first
 * GET    /api/history/undo                UndoReply: the steps that lead to the last state
 * GET    /api/history/:moment             MomentReply: the session as it was
 * GET    /api/measured                    MeasuredReply: results kept of the shots, each with its key
 * PUT    /api/measured                    KeptMeasurement -> {}: in place of the shot's result before
 * GET    /api/clips                       ClipsReply: the videos of the field folder
 * GET    /api/clips/:name/frames/:index   ?size=full or half: image/jpeg, the exact frame
 * GET    /api/clips/:name/damage          DamageReply: frames known to be damaged or in doubt
 * GET    /api/jobs                        JobsReply: those that run, and those not taken
 * POST   /api/jobs                        JobRequest -> JobReply (201)
 * GET    /api/jobs/:id                    JobReply
 * POST   /api/jobs/:id/hold               JobReply: this window takes the result, unless another does
 * DELETE /api/jobs/:id                    JobReply: cancelled; or taken, of one that ended
 * GET    /api/logs                        LogsReply: the CSV files of the field folder
 * GET    /api/logs/:name                  LogReply: the text of one, with its fingerprint
 * GET    /api/shelf                       ShelfReply: the person's shelf
 * POST   /api/shelf                       ShelfChange -> ShelfChangedReply
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
  truth: TruthSchema.nullable().describe("what is true of made-up clips, as of the example's; null without"),
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

export const OutingsReplySchema = z.strictObject({
  standings: z
    .record(z.string(), z.enum(["same", "changed", "missing", "unreadable"]))
    .describe("of each outing that the session names, by its id: its folder against the copy"),
});
export const NothingSchema = z.strictObject({});

export const DamageReplySchema = z.strictObject({
  damaged: z.array(
    z.strictObject({
      frame: z.int().nonnegative(),
      why: z.string().describe("in words that go on from: it is damaged in the file"),
      shown: z.boolean().describe("whether it can be shown all the same: then it is in doubt"),
    }),
  ),
});
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
export type OutingsReply = z.infer<typeof OutingsReplySchema>;
export type MeasuredReply = z.infer<typeof MeasuredReplySchema>;
export type ClipEntry = z.infer<typeof ClipEntrySchema>;
export type ClipsReply = z.infer<typeof ClipsReplySchema>;
export type LogsReply = z.infer<typeof LogsReplySchema>;
export type LogReply = Readonly<z.infer<typeof LogReplySchema>>;
export type DamageReply = z.infer<typeof DamageReplySchema>;
export type DamagedFrame = Readonly<DamageReply["damaged"][number]>;
