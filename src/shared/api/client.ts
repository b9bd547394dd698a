import type { z } from "zod";
import { FaultError } from "../quantity/notice.ts";
import {
  type ClipsReply,
  ClipsReplySchema,
  type DamageReply,
  DamageReplySchema,
  FaultSchema,
  type JobReply,
  JobReplySchema,
  type JobRequest,
  type SaveReply,
  SaveReplySchema,
  type SessionReply,
  SessionReplySchema,
  type SessionSave,
} from "./contract.ts";

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
  clips(): Promise<ClipsReply>;
  damage(clip: string): Promise<DamageReply>;
  startJob(request: JobRequest): Promise<JobReply>;
  job(id: string): Promise<JobReply>;
  cancelJob(id: string): Promise<JobReply>;
  /** Starts a job and waits for its end: done or cancelled. @throws FaultError with the job's own fault when it failed */
  runJob(request: JobRequest, waiting: Waiting): Promise<JobReply>;
}

/**
 * A typed client of the service contract. Every reply is checked against its schema.
 * @param fetchLike e.g. the browser's fetch, or a service's own fetch wrapped to take a path
 * @param base put before every path, e.g. "http://127.0.0.1:4000"; empty in a page that the host serves
 * Each call throws FaultError: the fault that the service sent, "no-answer" when nothing answered, or
 * "unexpected-answer" when the answer is not what the contract says.
 */
export function createClient(fetchLike: FetchLike, base = ""): Client {
  const call = <T>(schema: z.ZodType<T>, path: string, method = "GET", body?: unknown) =>
    ask(fetchLike, schema, `${base}/api/${path}`, method, body);

  const client: Client = {
    session: () => call(SessionReplySchema, "session"),
    saveSession: (save) => call(SaveReplySchema, "session", "PUT", save),
    clips: () => call(ClipsReplySchema, "clips"),
    damage: (clip) => call(DamageReplySchema, `clips/${encodeURIComponent(clip)}/damage`),
    startJob: (request) => call(JobReplySchema, "jobs", "POST", request),
    job: (id) => call(JobReplySchema, `jobs/${encodeURIComponent(id)}`),
    cancelJob: (id) => call(JobReplySchema, `jobs/${encodeURIComponent(id)}`, "DELETE"),
    async runJob(request, waiting) {
      let job = await client.startJob(request);
      while (job.state === "running") {
        waiting.onProgress?.(job);
        await waiting.pause();
        job = waiting.signal?.aborted === true ? await client.cancelJob(job.id) : await client.job(job.id);
      }
      waiting.onProgress?.(job);
      if (job.error !== null) throw new FaultError(job.error.code, job.error.cause, job.error.remedy);
      return job;
    },
  };
  return client;
}

/**
 * Tells two contents of a clip's file apart; part of the frame address, so that frames may be kept for good. The time counts as finely as the
 * system gives it: another file of the same size is often written within the same second.
 */
export function clipVersion(clip: { readonly bytes: number; readonly modifiedMs: number }): string {
  return `${clip.bytes}-${clip.modifiedMs}`;
}

/**
 * Path of one exact frame as JPEG. With the clip's facts or entry the answer may be kept for good, because another
 * content of the file has another address; without, it is asked for anew each time.
 */
export function framePath(
  clipName: string,
  index: number,
  size: "full" | "half",
  clip?: { readonly bytes: number; readonly modifiedMs: number },
): string {
  const version = clip === undefined ? "" : `&v=${clipVersion(clip)}`;
  return `/api/clips/${encodeURIComponent(clipName)}/frames/${index}?size=${size}${version}`;
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
