import { z } from "zod";
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
  z.strictObject({ kind: z.literal("write-up") }),
]);

export const FaultSchema = z.strictObject({ code: z.string(), cause: z.string(), remedy: z.string() });
export const JobReplySchema = z.strictObject({
  id: z.string(),
  kind: z.enum(["inspect", "extract", "differences", "write-up"]),
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
  files: z.array(z.string()).nullable().describe("result of write-up: paths inside the field folder"),
});

export type SessionReply = z.infer<typeof SessionReplySchema>;
export type SessionSave = z.infer<typeof SessionSaveSchema>;
export type SaveReply = z.infer<typeof SaveReplySchema>;
export type ClipEntry = z.infer<typeof ClipEntrySchema>;
export type ClipsReply = z.infer<typeof ClipsReplySchema>;
export type JobRequest = z.infer<typeof JobRequestSchema>;
export type JobReply = z.infer<typeof JobReplySchema>;
