import { createClient, framePath } from "../../shared/api/client.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import type { ClipContent, HostInfo, Service } from "./service.ts";

/** ms: short work is seen to be done at once; later a progress bar that moves six times a second reads as smooth. */
const POLLS_MS = [20, 40, 80] as const;
const POLL_MS = 150;
const KEEPALIVE_BYTES = 60_000; // browsers refuse requests that outlive the page above 64 KiB

/** What Electron's preload offers the page. */
interface DesktopHost {
  pickFolder(): Promise<string | null>;
}

declare global {
  interface Window {
    readonly loftmarkHost?: DesktopHost;
  }
}

/** The service over fetch, on the page's own origin: the loopback host and Electron's scheme answer alike. */
export function createHttpService(): Service {
  const client = createClient((url, init) => fetch(url, init));
  return {
    session: client.session,
    async save(session, baseRevision, leaving) {
      const leavingClient = leaving ? createClient(fetchKeptAlive) : client;
      return (await leavingClient.saveSession({ session, baseRevision })).revision;
    },
    clips: async () => (await client.clips()).clips,
    damage: async (clip) => (await client.damage(clip)).damaged,
    job(request, { signal, onProgress }) {
      let looks = 0;
      return client.runJob(request, {
        pause: () => new Promise((resolve) => setTimeout(resolve, POLLS_MS[looks++] ?? POLL_MS)),
        ...(signal === undefined ? {} : { signal }),
        ...(onProgress === undefined ? {} : { onProgress }),
      });
    },
    frame,
    frameUrl: framePath,
    async host() {
      return (await answered("/host/info", {})).json() as Promise<HostInfo>;
    },
    async openFolder(path) {
      await answered("/host/open", {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({ path }),
      });
    },
    pickFolder: async () => (await window.loftmarkHost?.pickFolder()) ?? null,
  };
}

async function frame(
  clip: string,
  index: number,
  size: "full" | "half",
  content: ClipContent,
  signal: AbortSignal,
): Promise<Blob> {
  const response = await answered(framePath(clip, index, size, content), { signal });
  return response.blob();
}

function fetchKeptAlive(url: string, init?: RequestInit): Promise<Response> {
  const body = typeof init?.body === "string" ? init.body : "";
  return fetch(url, { ...init, keepalive: body.length < KEEPALIVE_BYTES });
}

async function answered(path: string, init: RequestInit): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new FaultError(
      "no-answer",
      "Loftmark's service does not answer.",
      "See whether it still runs where you started it, and start it again; this window keeps what you typed.",
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
    remedy: "Try again; if it happens again, start Loftmark anew.",
  };
}
