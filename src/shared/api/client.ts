import type { z } from "zod";
import { FaultError } from "../quantity/notice.ts";
import {
  type ClipsReply,
  ClipsReplySchema,
  type DamageReply,
  DamageReplySchema,
  type HistoryReply,
  HistoryReplySchema,
  type KeptMeasurement,
  type LogReply,
  LogReplySchema,
  type LogsReply,
  LogsReplySchema,
  type MeasuredReply,
  MeasuredReplySchema,
  type MomentReply,
  MomentReplySchema,
  NothingSchema,
  type OutingsReply,
  OutingsReplySchema,
  type RecoverReply,
  RecoverReplySchema,
  type SaveReply,
  SaveReplySchema,
  type SessionReply,
  SessionReplySchema,
  type SessionSave,
  type StepsSave,
  type UndoReply,
  UndoReplySchema,
  WINDOW_HEADER,
} from "./contract.ts";
import { FaultSchema } from "./fault-schema.ts";
import {
  type JobReply,
  JobReplySchema,
  type JobRequest,
  type JobsReply,
  JobsReplySchema,
} from "./job-contract.ts";
import {
  type ShelfChange,
  type ShelfChangedReply,
  ShelfChangedReplySchema,
  type ShelfReply,
  ShelfReplySchema,
} from "./shelf-contract.ts";

/** The part of the standard fetch that the client uses, so that it runs over any transport, or none. */
export type FetchLike = (
  url: string,
  init?: {
    readonly method?: string;
    readonly headers?: Readonly<Record<string, string>>;
    readonly body?: string;
  },
) => Promise<{ readonly ok: boolean; readonly status: number; json(): Promise<unknown> }>;

/** How to wait for a job: the pause between two looks, who is told of progress, and whether to stop. */
export interface Waiting {
  /** Resolves when it is time to look again. */
  readonly pause: () => Promise<unknown>;
  readonly onProgress?: (job: JobReply) => void;
  /** Read before every look; once aborted the job is cancelled. An AbortSignal fits. */
  readonly signal?: { readonly aborted: boolean };
}

export interface Client {
  session(): Promise<SessionReply>;
  saveSession(save: SessionSave): Promise<SaveReply>;
  /** Saves the steps made since a revision. */
  saveSteps(save: StepsSave): Promise<SaveReply>;
  history(): Promise<HistoryReply>;
  undoSteps(): Promise<UndoReply>;
  moment(id: string): Promise<MomentReply>;
  /** Puts a state of the history in place of a session file that cannot be read. */
  recover(moment: string): Promise<RecoverReply>;
  clips(): Promise<ClipsReply>;
  /** Results kept of the folder's shots. */
  measured(): Promise<MeasuredReply>;
  keepMeasured(one: KeptMeasurement): Promise<unknown>;
  /** How the folders of other outings stand to the copies that the session keeps. */
  outings(): Promise<OutingsReply>;
  /** The person's own shelf, the same for every folder. */
  shelf(): Promise<ShelfReply>;
  changeShelf(change: ShelfChange): Promise<ShelfChangedReply>;
  damage(clip: string): Promise<DamageReply>;
  /** The CSV files of the folder, and one of them. */
  logs(): Promise<LogsReply>;
  log(name: string): Promise<LogReply>;
  startJob(request: JobRequest): Promise<JobReply>;
  /** The jobs of the folder that run, and those whose result waits. */
  jobs(): Promise<JobsReply>;
  job(id: string): Promise<JobReply>;
  /** Makes this window the one that takes the result of a job, unless another one does. */
  holdJob(id: string): Promise<JobReply>;
  /** Cancels a job; for one that has ended this counts as taking its result, which waits no longer. */
  cancelJob(id: string): Promise<JobReply>;
  /**
   * Starts a job and waits for its end: done or cancelled. A result that waits is still to
   * be taken, once it is safe.
   * @throws FaultError with the job's own fault when it failed; this counts as taking it
   */
  runJob(request: JobRequest, waiting: Waiting): Promise<JobReply>;
  /**
   * The same for a job that runs already or has ended: it is held by this window once no other one holds it.
   */
  adoptJob(id: string, waiting: Waiting): Promise<JobReply>;
}

/**
 * A typed client of the service contract. Every reply is checked against its schema.
 * @param fetchLike e.g. the browser's fetch, or a service's own fetch wrapped to take a path
 * @param base put before every path, e.g. "http://127.0.0.1:4000"; empty in a page that the host serves
 * @param folder id of the folder at a host that has several open; null for a service, which has only its own
 * @param window what this window calls itself when it asks about jobs; a program that takes its results at
 *   once needs none Each call throws FaultError: the fault that the service sent, "no-answer" when nothing
 *   answered, or "unexpected-answer" when the answer is not what the contract says.
 */
export function createClient(
  fetchLike: FetchLike,
  base = "",
  folder: string | null = null,
  window = "",
): Client {
  const asOne: FetchLike =
    window === ""
      ? fetchLike
      : (url, init) => fetchLike(url, { ...init, headers: { ...init?.headers, [WINDOW_HEADER]: window } });
  const call = <T>(schema: z.ZodType<T>, path: string, method = "GET", body?: unknown) =>
    ask(asOne, schema, `${base}${apiOf(folder)}/${path}`, method, body);
  const jobAt = (id: string) => `jobs/${encodeURIComponent(id)}`;

  /** Looks again and again for as long as the job goes on, or until it is stopped. */
  async function ended(
    first: JobReply,
    look: (id: string) => Promise<JobReply>,
    goesOn: (job: JobReply) => boolean,
    waiting: Waiting,
  ): Promise<JobReply> {
    let job = first;
    let stopped = false;
    while (goesOn(job)) {
      waiting.onProgress?.(job);
      await waiting.pause();
      const stop: boolean = !stopped && waiting.signal?.aborted === true;
      stopped ||= stop;
      job = stop ? await client.cancelJob(job.id) : await look(job.id);
      // One that keeps what it has until now still runs, and ends by itself.
      if (stop && !runs(job)) break;
    }
    waiting.onProgress?.(job);
    if (job.error === null || job.taken || job.heldElsewhere) return job;
    if (job.about !== null) await client.cancelJob(job.id);
    throw new FaultError(job.error.code, job.error.cause, job.error.remedy);
  }

  const client: Client = {
    session: () => call(SessionReplySchema, "session"),
    saveSession: (save) => call(SaveReplySchema, "session", "PUT", save),
    saveSteps: (save) => call(SaveReplySchema, "session/steps", "POST", save),
    history: () => call(HistoryReplySchema, "history"),
    undoSteps: () => call(UndoReplySchema, "history/undo"),
    moment: (id) => call(MomentReplySchema, `history/${encodeURIComponent(id)}`),
    recover: (moment) => call(RecoverReplySchema, "session/recover", "POST", { moment }),
    clips: () => call(ClipsReplySchema, "clips"),
    measured: () => call(MeasuredReplySchema, "measured"),
    keepMeasured: (one) => call(NothingSchema, "measured", "PUT", one),
    logs: () => call(LogsReplySchema, "logs"),
    log: (name) => call(LogReplySchema, `logs/${encodeURIComponent(name)}`),
    outings: () => call(OutingsReplySchema, "outings"),
    shelf: () => call(ShelfReplySchema, "shelf"),
    changeShelf: (change) => call(ShelfChangedReplySchema, "shelf", "POST", change),
    damage: (clip) => call(DamageReplySchema, `clips/${encodeURIComponent(clip)}/damage`),
    startJob: (request) => call(JobReplySchema, "jobs", "POST", request),
    jobs: () => call(JobsReplySchema, "jobs"),
    job: (id) => call(JobReplySchema, jobAt(id)),
    holdJob: (id) => call(JobReplySchema, `${jobAt(id)}/hold`, "POST", {}),
    cancelJob: (id) => call(JobReplySchema, jobAt(id), "DELETE"),
    runJob: async (request, waiting) => ended(await client.startJob(request), client.job, runs, waiting),
    adoptJob: async (id, waiting) =>
      ended(
        await client.holdJob(id),
        client.holdJob,
        (job) => runs(job) || (job.heldElsewhere && !job.taken),
        waiting,
      ),
  };
  return client;
}

/** Where a folder's service is found: /api at the service itself, /api/folders/ID at a host. */
function apiOf(folder: string | null): string {
  return folder === null ? "/api" : `/api/folders/${encodeURIComponent(folder)}`;
}

function runs({ state }: JobReply): boolean {
  return state === "running";
}

/**
 * Tells two contents of a clip's file apart; part of the frame address, so that frames may be kept for
 * good. The time counts as finely as the system gives it: another file of the same size is often
 * written within the same second.
 */
export function clipVersion(clip: { readonly bytes: number; readonly modifiedMs: number }): string {
  return `${clip.bytes}-${clip.modifiedMs}`;
}

/**
 * Path of one exact frame as JPEG. With the clip's facts or entry the answer may be kept for good, because
 * another content of the file has another address; without, it is requested again each time.
 * @param folder as in createClient
 */
export function framePath(
  clipName: string,
  index: number,
  size: "full" | "half",
  clip?: { readonly bytes: number; readonly modifiedMs: number },
  folder: string | null = null,
): string {
  const version = clip === undefined ? "" : `&v=${clipVersion(clip)}`;
  return `${apiOf(folder)}/clips/${encodeURIComponent(clipName)}/frames/${index}?size=${size}${version}`;
}

async function ask<T>(
  fetchLike: FetchLike,
  schema: z.ZodType<T>,
  url: string,
  method: string,
  body: unknown,
): Promise<T> {
  const sent =
    body === undefined ? {} : { headers: { "content-type": "application/json" }, body: JSON.stringify(body) };
  const reply = await fetchLike(url, { method, ...sent }).catch(() => {
    throw new FaultError(
      "no-answer",
      "Loftmark's service does not answer.",
      "See whether Loftmark still runs in its terminal; start it again if not, then reload.",
    );
  });
  const json: unknown = await reply.json().catch(() => undefined);
  if (!reply.ok) throw faultOf(json, reply.status);
  const parsed = schema.safeParse(json);
  if (!parsed.success) throw unexpected(reply.status);
  return parsed.data;
}

function faultOf(json: unknown, status: number): FaultError {
  const error = typeof json === "object" && json !== null && "error" in json ? json.error : undefined;
  const fault = FaultSchema.safeParse(error);
  return fault.success
    ? new FaultError(fault.data.code, fault.data.cause, fault.data.remedy)
    : unexpected(status);
}

function unexpected(status: number): FaultError {
  return new FaultError(
    "unexpected-answer",
    `Loftmark's service gave an answer that this window does not know (status ${status}).`,
    "Reload the window, so that it and the service are of one version.",
  );
}
