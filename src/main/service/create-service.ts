import { clipVersion } from "../../shared/api/client.ts";
import {
  type ClipsReply,
  type DamageReply,
  type HistoryReply,
  KeptMeasurementSchema,
  type LogReply,
  type LogsReply,
  type MeasuredReply,
  type MomentReply,
  type OutingsReply,
  type RecoverReply,
  RecoverSchema,
  type SaveReply,
  type SessionReply,
  SessionSaveSchema,
  StepsSaveSchema,
  type UndoReply,
  WINDOW_HEADER,
} from "../../shared/api/contract.ts";
import { JobRequestSchema, type JobsReply } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import type { Workers } from "../jobs/workers.ts";
import type { FrameSize, Media } from "../media/media.ts";
import { openFieldFolder } from "../store/field-folder.ts";
import { readTruth } from "../store/read-truth.ts";
import { createSessionFile } from "../store/session-file.ts";
import { momentsOf, stateAt, undoSteps } from "../store/session-history.ts";
import { beginJob, mustHaveFrame } from "./begin-job.ts";
import { createCameraLooks } from "./camera-looks.ts";
import { createClipProposals } from "./clip-proposals.ts";
import { createFactsCache } from "./facts-cache.ts";
import { createJobs, type Jobs } from "./jobs.ts";
import { createKeptMeasurements } from "./kept-measurements.ts";
import { createKeptResults } from "./kept-results.ts";
import { type OutingStanding, outingStanding } from "./read-outing.ts";
import { badRequest, faultFrom, faultReply, jsonReply, readBody } from "./replies.ts";
import { createShelfRequests } from "./shelf-requests.ts";

export interface ServiceOptions {
  /** Path of the field folder. */
  readonly folder: string;
  /** Where facts of clips are kept between runs. */
  readonly cacheDir: string;
  /** Folder of the person's shelf; left out where there is none. */
  readonly shelfDir?: string | undefined;
  readonly media: Media;
  /** Threads for heavy work; by default those of the process. */
  readonly workers?: Workers;
  /** Told of bugs, with their stacks; by default they go to stderr. */
  readonly log?: (error: unknown) => void;
}

/** The service of one field folder: every host shows this and nothing else. */
export interface Service {
  /** Answers one request of the contract in shared/api. Never rejects: failures are replies. */
  fetch(request: Request): Promise<Response>;
  /**
   * False when the folder that it serves is gone, or another one is at its path: it then
   * answers nothing else any more.
   */
  isThere(): Promise<boolean>;
  /** Stops every job and waits until all have let go of the folder, and for what is being written into it. */
  close(): Promise<void>;
}

type Handler = (request: Request, ...parts: string[]) => Promise<Response> | Response;

interface Route {
  readonly path: RegExp;
  readonly methods: Readonly<Record<string, Handler>>;
}

const KEEP_FOR_GOOD = "private, max-age=31536000, immutable";

export function createService(options: ServiceOptions): Service {
  const log = options.log ?? ((error: unknown) => console.error(error));
  const workers = options.workers ?? processWorkers();
  const looks = createCameraLooks(options.media, workers, options.cacheDir);
  const propose = createClipProposals(options.media, workers, options.cacheDir);
  const factsOf = createFactsCache(options.media, options.cacheDir, looks);
  const shelf = createShelfRequests(options.shelfDir);
  /** Requests that write, not answered yet. */
  const changing = new Set<Promise<Response>>();
  let opening: ReturnType<typeof open> | undefined;
  const opened = () => {
    // Tried again after a failure: the card may be back in its reader.
    opening ??= open().catch((error: unknown) => {
      opening = undefined;
      throw error;
    });
    return opening;
  };

  async function open() {
    const folder = await openFieldFolder(options.folder);
    const kept = createKeptResults(options.cacheDir, folder.path, Date.now);
    const jobs = createJobs({
      nowMs: () => performance.now(),
      nowIso: () => new Date().toISOString(),
      log,
      kept,
      waiting: await kept.list(),
    });
    const sessionFile = createSessionFile(folder);
    const measured = createKeptMeasurements(options.cacheDir, folder.path, () => workers.edition());
    // Steps that a crash kept from the document's file go there now; a session that cannot be read
    // is said to whoever asks.
    void sessionFile
      .read()
      .then(() => sessionFile.settled())
      .catch(() => undefined);
    return { folder, sessionFile, measured, jobs: whileThere(jobs) };
  }

  /** What fails because the folder is gone says that, whatever it failed at. */
  async function goneOr(error: unknown): Promise<unknown> {
    try {
      await (await opening)?.folder.mustBeThere();
      return error;
    } catch (gone) {
      return gone;
    }
  }

  function whileThere(all: Jobs): Jobs {
    return {
      ...all,
      start: (start, work) =>
        all.start(start, async (job) => {
          try {
            return await work(job);
          } catch (error) {
            throw await goneOr(error);
          }
        }),
    };
  }

  async function readSession(): Promise<Response> {
    const { folder, sessionFile } = await opened();
    const { access, reason } = await folder.access();
    const stored = await sessionFile.read();
    const truth = await readTruth(folder.path);
    const reply: SessionReply = { ...stored, folderName: folder.name, access, readOnlyReason: reason, truth };
    return jsonReply(reply);
  }

  async function saveSession(request: Request): Promise<Response> {
    const { session, baseRevision } = await readBody(request, SessionSaveSchema);
    const reply: SaveReply = { revision: await (await opened()).sessionFile.save(session, baseRevision) };
    return jsonReply(reply);
  }

  async function saveSteps(request: Request): Promise<Response> {
    const { steps, baseRevision } = await readBody(request, StepsSaveSchema);
    const { sessionFile } = await opened();
    const reply: SaveReply = { revision: await sessionFile.saveSteps(steps, baseRevision) };
    return jsonReply(reply);
  }

  async function recover(request: Request): Promise<Response> {
    const { moment } = await readBody(request, RecoverSchema);
    const { folder, sessionFile } = await opened();
    const keptAs = await sessionFile.replaceBroken(await stateAt(folder.path, moment));
    const reply: RecoverReply = { keptAs };
    return jsonReply(reply);
  }

  async function history(): Promise<Response> {
    const reply: HistoryReply = { moments: [...(await momentsOf((await opened()).folder.path))] };
    return jsonReply(reply);
  }

  async function undo(): Promise<Response> {
    const undo = await undoSteps((await opened()).folder.path);
    const reply: UndoReply = { undo: undo === null ? null : { ...undo, steps: [...undo.steps] } };
    return jsonReply(reply);
  }

  async function moment(id: string): Promise<Response> {
    const reply: MomentReply = { session: await stateAt((await opened()).folder.path, id) };
    return jsonReply(reply);
  }

  async function listClips(): Promise<Response> {
    const reply: ClipsReply = { clips: [...(await (await opened()).folder.listClips())] };
    return jsonReply(reply);
  }

  async function listLogs(): Promise<Response> {
    const reply: LogsReply = { logs: [...(await (await opened()).folder.listLogs())] };
    return jsonReply(reply);
  }

  async function readLog(name: string): Promise<Response> {
    const reply: LogReply = await (await opened()).folder.readLog(name);
    return jsonReply(reply);
  }

  async function listMeasured(): Promise<Response> {
    const reply: MeasuredReply = { measured: [...(await (await opened()).measured.list())] };
    return jsonReply(reply);
  }

  async function outings(): Promise<Response> {
    const { folder, sessionFile } = await opened();
    const { session } = await sessionFile.read();
    const standings: Record<string, OutingStanding> = {};
    for (const one of session.outings ?? []) standings[one.id] = await outingStanding(folder.path, one);
    const reply: OutingsReply = { standings };
    return jsonReply(reply);
  }

  async function keepMeasured(request: Request): Promise<Response> {
    const one = await readBody(request, KeptMeasurementSchema);
    // A cache that cannot be written (full disk) costs time at the next start, nothing else.
    await (await opened()).measured.keep(one).catch(log);
    return jsonReply({});
  }

  async function startJob(request: Request): Promise<Response> {
    const asked = await readBody(request, JobRequestSchema);
    const { folder, sessionFile, jobs } = await opened();
    const parts = { folder, sessionFile, jobs, factsOf, propose, media: options.media, workers, log };
    return jsonReply(await beginJob(parts, asked, windowOf(request)), 201);
  }

  async function listJobs(request: Request): Promise<Response> {
    const reply: JobsReply = { jobs: [...(await opened()).jobs.list(windowOf(request))] };
    return jsonReply(reply);
  }

  /** One of the things that can be done with a job. */
  function withJob(what: "get" | "hold" | "cancel"): Handler {
    return async (request, id) => jsonReply(await (await opened()).jobs[what](id!, windowOf(request)));
  }

  async function frame(request: Request, name: string, indexText: string): Promise<Response> {
    const { folder } = await opened();
    const query = new URL(request.url).searchParams;
    const size = query.get("size") ?? "full";
    if (size !== "full" && size !== "half") throw badRequest('size must be "full" or "half"');
    const clip = await folder.findClip(name);
    const version = clipVersion(clip);
    const index = Number(indexText);
    const headers = {
      etag: `"${version}-${index}-${size}"`,
      // An address with the version of the content never shows another picture; one
      // without must be asked again.
      "cache-control": query.get("v") === version ? KEEP_FOR_GOOD : "private, no-cache",
    };
    const facts = await factsOf(clip);
    mustHaveFrame(facts.pts.length, index);
    if (request.headers.get("if-none-match") === headers.etag)
      return new Response(null, { status: 304, headers });
    const jpeg = await options.media.frame(clip.path, facts, index, size as FrameSize, {
      signal: request.signal,
    });
    return new Response(jpeg as Uint8Array<ArrayBuffer>, {
      headers: { ...headers, "content-type": "image/jpeg", "x-content-type-options": "nosniff" },
    });
  }

  async function damage(name: string): Promise<Response> {
    const clip = await (await opened()).folder.findClip(name);
    const reply: DamageReply = {
      damaged: [...(await options.media.damage(clip.path, await factsOf(clip)))],
    };
    return jsonReply(reply);
  }

  const routes: readonly Route[] = [
    { path: /^\/api\/session$/, methods: { GET: readSession, PUT: saveSession } },
    { path: /^\/api\/session\/steps$/, methods: { POST: saveSteps } },
    { path: /^\/api\/session\/recover$/, methods: { POST: recover } },
    { path: /^\/api\/history$/, methods: { GET: history } },
    { path: /^\/api\/history\/undo$/, methods: { GET: undo } },
    { path: /^\/api\/history\/([^/]+)$/, methods: { GET: (_, id) => moment(id!) } },
    { path: /^\/api\/measured$/, methods: { GET: listMeasured, PUT: keepMeasured } },
    { path: /^\/api\/outings$/, methods: { GET: outings } },
    { path: /^\/api\/shelf$/, methods: { GET: shelf.read, POST: shelf.change } },
    { path: /^\/api\/logs$/, methods: { GET: listLogs } },
    { path: /^\/api\/logs\/([^/]+)$/, methods: { GET: (_, name) => readLog(name!) } },
    { path: /^\/api\/clips$/, methods: { GET: listClips } },
    { path: /^\/api\/clips\/([^/]+)\/damage$/, methods: { GET: (_, name) => damage(name!) } },
    { path: /^\/api\/jobs$/, methods: { GET: listJobs, POST: startJob } },
    { path: /^\/api\/jobs\/([^/]+)$/, methods: { GET: withJob("get"), DELETE: withJob("cancel") } },
    { path: /^\/api\/jobs\/([^/]+)\/hold$/, methods: { POST: withJob("hold") } },
    {
      path: /^\/api\/clips\/([^/]+)\/frames\/(\d{1,9})$/,
      methods: { GET: (request, name, index) => frame(request, name!, index!) },
    },
  ];

  return {
    async fetch(request) {
      const answered = answer(routes, request).catch(async (error: unknown) =>
        faultReply(faultFrom(await goneOr(error), log, request.signal)),
      );
      if (request.method === "GET") return answered;
      changing.add(answered);
      return answered.finally(() => changing.delete(answered));
    },
    isThere: async () => (await goneOr(null)) === null,
    async close() {
      await Promise.all(changing);
      const parts = await opening?.catch(() => undefined);
      await parts?.jobs.close();
      await parts?.sessionFile.settled().catch(log);
    },
  };
}

async function answer(routes: readonly Route[], request: Request): Promise<Response> {
  const { pathname } = new URL(request.url);
  for (const { path, methods } of routes) {
    const match = path.exec(pathname);
    if (match === null) continue;
    const handler = methods[request.method];
    if (handler !== undefined) return handler(request, ...match.slice(1).map(decoded));
    const reply = faultReply({
      code: "method-not-allowed",
      cause: `${request.method} is not a way to use ${pathname}.`,
      remedy: `Use ${Object.keys(methods).join(" or ")}.`,
    });
    reply.headers.set("allow", Object.keys(methods).join(", "));
    return reply;
  }
  throw new FaultError(
    "no-such-route",
    `The service has nothing at ${pathname}.`,
    "Reload the window, so that it and the service are of one version.",
  );
}

/** The window that asks, as it names itself. */
function windowOf(request: Request): string {
  return request.headers.get(WINDOW_HEADER) ?? "";
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    throw badRequest("its address has a broken escape");
  }
}
