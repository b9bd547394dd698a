import { randomBytes } from "node:crypto";
import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { Readable } from "node:stream";
import { FaultError } from "../shared/quantity/notice.ts";
import { createFolderHost, type FolderHost } from "./host/folder-host.ts";
import { createLoopbackGuard, type Passage } from "./host/loopback-guard.ts";
import { findRendererDir } from "./host/renderer-files.ts";
import type { Media } from "./media/media.ts";
import type { RecentFolders } from "./store/recent-folders.ts";

export interface WebHostOptions {
  /** Path of the field folder shown first. */
  readonly folder: string;
  /** 0, the default, takes any free port. */
  readonly port?: number;
  readonly media: Media;
  readonly cacheDir: string;
  /** Folder of the person's shelf; left out where there is none. */
  readonly shelfDir?: string;
  /** The list of folders opened before; left out where none is kept. */
  readonly recent?: RecentFolders;
  /** The built page; by default the one beside this program. */
  readonly rendererDir?: string;
  readonly log?: (error: unknown) => void;
}

export interface WebHost {
  /** The address to open, with the token. */
  readonly url: string;
  readonly origin: string;
  /** For programs: sent as "Authorization: Bearer TOKEN". */
  readonly token: string;
  close(): Promise<void>;
}

/**
 * Serves Loftmark's page and service to browsers on this machine: 127.0.0.1 only, behind a random token.
 * @throws FaultError when the folder cannot be opened, or "port-in-use"
 */
export async function startWebHost(options: WebHostOptions): Promise<WebHost> {
  const log = options.log ?? ((error: unknown) => console.error(error));
  const host = await createFolderHost({
    ...options,
    host: "loopback",
    canPickFolder: false,
    rendererDir: options.rendererDir ?? findRendererDir(import.meta.dirname),
  });
  const token = randomBytes(32).toString("base64url");
  const server = createServer();
  const port = await listen(server, options.port ?? 0);
  const origin = `http://127.0.0.1:${port}`;
  const guard = createLoopbackGuard(port, token);
  server.on("request", (incoming, outgoing) => {
    handle(host, guard, origin, incoming, outgoing).catch((error: unknown) => {
      log(error);
      outgoing.destroy();
    });
  });
  return {
    url: `${origin}/?token=${token}`,
    origin,
    token,
    async close() {
      const closed = new Promise((resolve) => server.close(resolve));
      server.closeAllConnections();
      await closed;
      await host.close();
    },
  };
}

async function handle(
  host: FolderHost,
  guard: ReturnType<typeof createLoopbackGuard>,
  origin: string,
  incoming: IncomingMessage,
  outgoing: ServerResponse,
): Promise<void> {
  const asked = { method: incoming.method ?? "GET", url: incoming.url ?? "/", headers: incoming.headers };
  if (!asked.url.startsWith("/")) asked.url = "/"; // "GET http://elsewhere/ HTTP/1.1" is for proxies
  const passage = guard(asked);
  if (passage.kind !== "pass") return turn(passage, asked.url, incoming, outgoing);

  const gone = new AbortController();
  outgoing.on("close", () => gone.abort());
  const hasBody = asked.method !== "GET" && asked.method !== "HEAD";
  const request = new Request(origin + asked.url, {
    method: asked.method,
    headers: Object.entries(asked.headers).flatMap(([name, value]): [string, string][] =>
      typeof value === "string" ? [[name, value]] : [],
    ),
    signal: gone.signal,
    ...(hasBody && { body: Readable.toWeb(incoming) as ReadableStream<Uint8Array>, duplex: "half" }),
  });
  const response = await host.fetch(request);
  const body = Buffer.from(await response.arrayBuffer());
  const headers: Record<string, string> = {
    "cross-origin-resource-policy": "same-origin",
    ...Object.fromEntries(response.headers),
  };
  // An unread body (refused as too long, say) would stand before the next request of the connection.
  if (!incoming.complete) headers.connection = "close";
  outgoing.writeHead(response.status, {
    ...headers,
    ...(response.status !== 304 && { "content-length": body.length }),
  });
  outgoing.end(asked.method === "HEAD" ? undefined : body);
}

/** Answers who may not pass, in words, and sends who enters on to the page. */
function turn(
  passage: Exclude<Passage, { kind: "pass" }>,
  url: string,
  incoming: IncomingMessage,
  outgoing: ServerResponse,
): void {
  const common = {
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
  };
  if (passage.kind === "enter") {
    outgoing.writeHead(303, { ...common, location: "/", "set-cookie": passage.cookie }).end();
    return;
  }
  const { status, cause, remedy } = passage;
  const forProgram = /^\/(api|host)\//.test(url);
  outgoing.writeHead(status, {
    ...common,
    "content-type": forProgram ? "application/json; charset=utf-8" : "text/plain; charset=utf-8",
    ...(!incoming.complete && { connection: "close" }),
  });
  outgoing.end(
    forProgram ? JSON.stringify({ error: { code: "no-passage", cause, remedy } }) : `${cause}\n${remedy}\n`,
  );
}

async function listen(server: Server, port: number): Promise<number> {
  await new Promise<void>((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) => {
      if (error.code !== "EADDRINUSE" && error.code !== "EACCES") return reject(error);
      reject(
        new FaultError(
          "port-in-use",
          error.code === "EACCES"
            ? `Port ${port} may not be used by you.`
            : `Port ${port} is in use by another program.`,
          "Choose another port, or leave the port out: a free one is then taken.",
        ),
      );
    });
    server.listen(port, "127.0.0.1", resolve);
  });
  return (server.address() as AddressInfo).port;
}
