import { clipVersion } from "../../shared/api/client.ts";
import {
  type ClipsReply,
  type DamageReply,
  type JobReply,
  type JobRequest,
  JobRequestSchema,
  type SaveReply,
  type SessionReply,
  SessionSaveSchema,
} from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { FrameSize, Media } from "../media/media.ts";
import { openFieldFolder } from "../store/field-folder.ts";
import { createSessionFile } from "../store/session-file.ts";
import { makeWriteUp } from "../write-up/make-write-up.ts";
import { createFactsCache } from "./facts-cache.ts";
import { followInClip } from "./follow-in-clip.ts";
import { createJobs, type JobOutcome } from "./jobs.ts";
import { measureShots } from "./measure-shots.ts";
import { badRequest, faultFrom, faultReply, jsonReply, readBody } from "./replies.ts";

export interface ServiceOptions {
  /** Path of the field folder. */
  readonly folder: string;
  /** Where facts of clips are kept between runs. */
  readonly cacheDir: string;
  readonly media: Media;
  /** Told of bugs, with their stacks; by default they go to stderr. */
  readonly log?: (error: unknown) => void;
}

/** The service of one field folder: every host shows this and nothing else. */
export interface Service {
  /** Answers one request of the contract in shared/api. Never rejects: failures are replies. */
  fetch(request: Request): Promise<Response>;
  /** Stops every job and waits until all have let go of the folder. */
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
  const jobs = createJobs(() => performance.now(), log);
  const factsOf = createFactsCache(options.media, options.cacheDir);
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
    return { folder, sessionFile: createSessionFile(folder) };
  }

  async function readSession(): Promise<Response> {
    const { folder, sessionFile } = await opened();
    const reply: SessionReply = { ...(await sessionFile.read()), folderName: folder.name };
    return jsonReply(reply);
  }

  async function saveSession(request: Request): Promise<Response> {
    const { session, baseRevision } = await readBody(request, SessionSaveSchema);
    const reply: SaveReply = { revision: await (await opened()).sessionFile.save(session, baseRevision) };
    return jsonReply(reply);
  }

  async function listClips(): Promise<Response> {
    const reply: ClipsReply = { clips: [...(await (await opened()).folder.listClips())] };
    return jsonReply(reply);
  }

  async function startJob(request: Request): Promise<Response> {
    const asked = await readBody(request, JobRequestSchema);
    const reply: JobReply = await begin(asked);
    return jsonReply(reply, 201);
  }

  async function begin(asked: JobRequest): Promise<JobReply> {
    const { folder } = await opened();
    switch (asked.kind) {
      case "inspect": {
        const clip = await folder.findClip(asked.clip);
        return jobs.start("inspect", `Inspecting ${clip.name}`, async (job) => ({
          facts: await factsOf(clip, job),
        }));
      }
      case "extract": {
        const clip = await folder.findClip(asked.clip);
        if (asked.to < asked.from) throw badRequest("the last frame comes before the first");
        return jobs.start(
          "extract",
          `Taking frames out of ${clip.name}`,
          async (job): Promise<JobOutcome> => {
            const facts = await factsOf(clip, { signal: job.signal });
            mustHaveFrame(facts.pts.length, asked.to);
            await options.media.extract(clip.path, facts, asked.from, asked.to, asked.size, job);
            return {};
          },
        );
      }
      case "differences": {
        const clip = await folder.findClip(asked.clip);
        return jobs.start("differences", `Looking for repeated frames in ${clip.name}`, async (job) => {
          const facts = await factsOf(clip, { signal: job.signal });
          return { differences: [...(await options.media.differences(clip.path, facts, job))] };
        });
      }
      case "follow": {
        const clip = await folder.findClip(asked.clip);
        return jobs.start("follow", `Following the ${asked.point}`, async (job): Promise<JobOutcome> => {
          const facts = await factsOf(clip, { signal: job.signal });
          mustHaveFrame(facts.pts.length, Math.max(asked.seed.frame, asked.to));
          const followed = await followInClip(options.media, clip.path, facts, asked, job);
          return { followed: followed as JobReply["followed"] };
        });
      }
      case "write-up":
        return jobs.start("write-up", "Measuring the shots", async (job) => {
          const { sessionFile } = await opened();
          const { session } = await sessionFile.read();
          const measured = await measureShots(session, folder, factsOf, {
            signal: job.signal,
            onProgress: ({ fraction, doing }) => job.onProgress({ fraction: 0.8 * fraction, doing }),
          });
          job.onProgress({ fraction: 0.8, doing: "Writing tables, figures and the report" });
          const files = await makeWriteUp({ session, ...measured, madeAt: new Date().toISOString() });
          job.signal.throwIfAborted();
          return { files: [...(await folder.writeUp(files))] };
        });
    }
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
      // An address with the version of the content never shows another picture; one without must be asked again.
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
    { path: /^\/api\/clips$/, methods: { GET: listClips } },
    { path: /^\/api\/clips\/([^/]+)\/damage$/, methods: { GET: (_, name) => damage(name!) } },
    { path: /^\/api\/jobs$/, methods: { POST: startJob } },
    {
      path: /^\/api\/jobs\/([^/]+)$/,
      methods: { GET: (_, id) => jsonReply(jobs.get(id!)), DELETE: (_, id) => jsonReply(jobs.cancel(id!)) },
    },
    {
      path: /^\/api\/clips\/([^/]+)\/frames\/(\d{1,9})$/,
      methods: { GET: (request, name, index) => frame(request, name!, index!) },
    },
  ];

  return {
    async fetch(request) {
      try {
        return await answer(routes, request);
      } catch (error) {
        return faultReply(faultFrom(error, log, request.signal));
      }
    },
    close: () => jobs.close(),
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

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    throw badRequest("its address has a broken escape");
  }
}

function mustHaveFrame(count: number, index: number): void {
  if (index < count) return;
  throw new FaultError(
    "no-such-frame",
    `The clip has no frame ${index}; its ${count} frames count from 0 to ${count - 1}.`,
    "Ask for a frame that the clip has.",
  );
}
