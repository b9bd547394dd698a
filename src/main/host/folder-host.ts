import { stat } from "node:fs/promises";
import { homedir } from "node:os";
import { dirname, join, resolve } from "node:path";
import { z } from "zod";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Media } from "../media/media.ts";
import { createService, type Service } from "../service/create-service.ts";
import { faultFrom, faultReply, jsonReply, readBody } from "../service/replies.ts";
import { openFieldFolder } from "../store/field-folder.ts";
import { createRendererFiles } from "./renderer-files.ts";

/**
 * What a window needs from its host beside the service:
 *
 * GET  /host/info          -> { host, folder, canPickFolder }
 * POST /host/open {path}   -> { folder }: the window now shows that folder; a clip's path opens the folder it lies in
 * GET  /...                -> the page
 */
export interface FolderHostOptions {
  readonly folder: string;
  readonly host: "loopback" | "electron";
  readonly canPickFolder: boolean;
  readonly media: Media;
  readonly cacheDir: string;
  readonly rendererDir: string;
  /** Told when another folder was opened, with its real path. */
  readonly onFolder?: (folder: string) => void;
  readonly log?: (error: unknown) => void;
}

export interface FolderHost {
  /** Answers the page, /host and /api. Never rejects. The host has checked by then who asks. */
  fetch(request: Request): Promise<Response>;
  /** The real path of the open field folder. */
  readonly folder: string;
  /** Opens another field folder; the old one stays open when it cannot be opened. @returns its real path */
  openFolder(path: string): Promise<string>;
  close(): Promise<void>;
}

const OpenSchema = z.strictObject({ path: z.string().min(1) });

/** @throws FaultError when the first folder cannot be opened */
export async function createFolderHost(options: FolderHostOptions): Promise<FolderHost> {
  const log = options.log ?? ((error: unknown) => console.error(error));
  const files = createRendererFiles(options.rendererDir);
  let folder = (await openFieldFolder(options.folder)).path;
  let service: Service = serve(folder);

  function serve(path: string): Service {
    return createService({ folder: path, cacheDir: options.cacheDir, media: options.media, log });
  }

  async function openFolder(path: string): Promise<string> {
    const next = (await openFieldFolder(await folderFor(path))).path;
    if (next !== folder) {
      const left = service;
      [folder, service] = [next, serve(next)];
      options.onFolder?.(next);
      await left.close();
    }
    return folder;
  }

  async function answer(request: Request): Promise<Response> {
    const { pathname } = new URL(request.url);
    const asked = `${request.method} ${pathname}`;
    if (pathname.startsWith("/api/")) return service.fetch(request);
    if (asked === "GET /host/info") {
      return jsonReply({ host: options.host, folder, canPickFolder: options.canPickFolder });
    }
    if (asked === "POST /host/open") {
      const { path } = await readBody(request, OpenSchema);
      return jsonReply({ folder: await openFolder(path) });
    }
    const reading = request.method === "GET" || request.method === "HEAD";
    const file = reading && !pathname.startsWith("/host/") ? await files(pathname) : null;
    if (file !== null) return file;
    throw new FaultError(
      "no-such-route",
      `There is nothing at ${pathname}.`,
      "Go back to the start page, /.",
    );
  }

  return {
    get folder() {
      return folder;
    },
    openFolder,
    async fetch(request) {
      try {
        return await answer(request);
      } catch (error) {
        return faultReply(faultFrom(error, log, request.signal));
      }
    },
    close: () => service.close(),
  };
}

/** Takes ~ for the home folder, and a file for the folder it lies in: people drop clips as well as folders. */
async function folderFor(given: string): Promise<string> {
  const path = resolve(/^~(?=$|[\\/])/.test(given) ? join(homedir(), given.slice(1)) : given);
  const isFile = await stat(path).then(
    (stats) => stats.isFile(),
    () => false, // Not there: opening it as a folder says so in words.
  );
  return isFile ? dirname(path) : path;
}
