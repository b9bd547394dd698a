import { type Client, createClient, framePath } from "../../shared/api/client.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import type { PageAddress } from "./page-address.ts";
import type { FollowJob, HostInfo, OpenFolder, RecentFolder, Service } from "./service.ts";

/**
 * ms: short work is seen to be done at once; later a progress bar that moves six times
 * a second reads as smooth.
 */
const POLLS_MS = [20, 40, 80] as const;
const POLL_MS = 150;
const ADOPTED_POLL_MS = 500; // nobody has just pressed a button
const KEEPALIVE_BYTES = 60_000; // browsers refuse requests that outlive the page above 64 KiB

export interface HttpServiceParts {
  /**
   * The browser's fetch on the page's own origin; the loopback host and Electron's
   * scheme answer it the same way.
   */
  readonly fetch: (path: string, init?: RequestInit) => Promise<Response>;
  readonly address: PageAddress;
  /** The desktop's folder picker; null where there is none, or nothing was picked. */
  readonly pickFolder: () => Promise<string | null>;
}

/**
 * The service over fetch. Every request names the folder of this page by its id: the one in the page's
 * address, or, in a plain address, the one that the host opened last, which the address then keeps.
 */
export function createHttpService({ fetch, address, pickFolder }: HttpServiceParts): Service {
  let id = address.folder();
  let asking: Promise<HostInfo> | null = null;
  const window = crypto.randomUUID(); // what this page calls itself when it asks about jobs
  const answered = (path: string, init: RequestInit = {}) => answeredBy(fetch, path, init);
  const posted = (path: string, body: unknown) =>
    answered(path, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });

  function host(): Promise<HostInfo> {
    asking ??= askHost().finally(() => {
      asking = null;
    });
    return asking;
  }

  async function askHost(): Promise<HostInfo> {
    const query = id === null ? "" : `?folder=${encodeURIComponent(id)}`;
    const info = (await (await answered(`/host/info${query}`)).json()) as HostInfo;
    if (id === null) address.keep(info.id);
    id = info.id;
    return info;
  }

  async function client(fetchLike = fetch): Promise<Client> {
    return createClient(fetchLike, "", id ?? (await host()).id, window);
  }

  function fetchKeptAlive(path: string, init?: RequestInit): Promise<Response> {
    const body = typeof init?.body === "string" ? init.body : "";
    return fetch(path, { ...init, keepalive: body.length < KEEPALIVE_BYTES });
  }

  return {
    session: async () => (await client()).session(),
    async saveSteps(steps, baseRevision, leaving) {
      const saving = await client(leaving ? fetchKeptAlive : fetch);
      return (await saving.saveSteps({ steps: [...steps], baseRevision })).revision;
    },
    history: async () => (await (await client()).history()).moments,
    undoSteps: async () => (await (await client()).undoSteps()).undo,
    moment: async (id) => (await (await client()).moment(id)).session,
    recover: async (moment) => (await (await client()).recover(moment)).keptAs,
    clips: async () => (await (await client()).clips()).clips,
    measured: async () => (await (await client()).measured()).measured,
    keepMeasured: async (one) => void (await (await client()).keepMeasured(one)),
    logs: async () => (await (await client()).logs()).logs,
    log: async (name) => (await client()).log(name),
    outings: async () => (await (await client()).outings()).standings,
    shelf: async () => (await (await client()).shelf()).shelf,
    changeShelf: async (change) => (await client()).changeShelf(change),
    damage: async (clip) => (await (await client()).damage(clip)).damaged,
    job: async (request, follow) => (await client()).runJob(request, waiting(POLLS_MS, POLL_MS, follow)),
    jobs: async () => (await (await client()).jobs()).jobs,
    adopt: async (id, follow) => (await client()).adoptJob(id, waiting([], ADOPTED_POLL_MS, follow)),
    taken: async (id) => void (await (await client()).cancelJob(id)),
    async frame(clip, index, size, content, signal) {
      const folder = id ?? (await host()).id;
      return (await answered(framePath(clip, index, size, content, folder), { signal })).blob();
    },
    frameUrl: (clip, index, size, content) => framePath(clip, index, size, content, id),
    host,
    async openFolders() {
      return ((await (await answered("/host/folders")).json()) as { folders: OpenFolder[] }).folders;
    },
    openFolder: async (path) => (await (await posted("/host/open", { path })).json()) as OpenFolder,
    async recentFolders() {
      return ((await (await answered("/host/recent")).json()) as { folders: RecentFolder[] }).folders;
    },
    forgetFolder: async (folder) => void (await posted("/host/recent/forget", { folder })),
    show: (folder) => address.goTo(folder.id),
    pickFolder,
  };
}

/** How to wait for a job: the first pauses, and the one from then on, ms. */
function waiting(
  first: readonly number[],
  then: number,
  { signal, onProgress }: FollowJob,
): Parameters<Client["adoptJob"]>[1] {
  let looks = 0;
  return {
    pause: () => new Promise((resolve) => setTimeout(resolve, first[looks++] ?? then)),
    ...(signal === undefined ? {} : { signal }),
    ...(onProgress === undefined ? {} : { onProgress }),
  };
}

async function answeredBy(
  fetch: HttpServiceParts["fetch"],
  path: string,
  init: RequestInit,
): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new FaultError(
      "no-answer",
      "Loftmark's service does not answer.",
      "Check whether it is still running where you started it, and restart it; this window keeps what you typed.",
    );
  }
  if (response.ok) return response;
  const body: unknown = await response.json().catch(() => null);
  const { code, cause, remedy } = faultIn(body) ?? wordlessFault(response.status);
  throw new FaultError(code, cause, remedy);
}

function faultIn(body: unknown): Fault | null {
  const error = (body as { error?: Partial<Fault> } | null)?.error;
  return typeof error?.cause === "string" ? (error as Fault) : null;
}

function wordlessFault(status: number): Fault {
  return {
    code: `status-${status}`,
    cause: `The service answered with status ${status} and gave no reason.`,
    remedy: "Try again; if it happens again, restart Loftmark.",
  };
}
