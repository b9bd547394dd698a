import { stat } from "node:fs/promises";
import { homedir } from "node:os";
import { basename, dirname, join, resolve } from "node:path";
import { z } from "zod";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Media } from "../media/media.ts";
import { createService } from "../service/create-service.ts";
import { faultFrom, faultReply, jsonReply, readBody } from "../service/replies.ts";
import type { RecentFolders } from "../store/recent-folders.ts";
import { createFolderLook } from "./folder-standing.ts";
import { createOpenFolders, type OpenFolder } from "./open-folders.ts";
import { createRendererFiles } from "./renderer-files.ts";

/**
 * What a window needs from its host beside the service:
 *
 * GET  /host/info?folder=ID      -> { host, id, folder, name, canPickFolder } of that folder; without one, of
 *                                   the folder opened last
 * GET  /host/folders             -> { folders: [{ id, folder, name }] }: what is open, the folder opened last
 *                                   first
 * POST /host/open {path}         -> { id, folder, name }: opens a folder beside the others; a clip's path
 *                                   opens the folder it lies in
 * GET  /host/recent              -> { folders: [{ folder, name, openedAt, standing }] }: opened before, open
 *                                   or not, the last first
 * POST /host/recent/forget {folder} -> {}: takes one off that list; its files are not touched
 * ...  /api/folders/ID/...       -> the service of that folder, as /api/... in its contract
 * GET  /...                      -> the page
 *
 * A request for a folder that is not open is refused (410 "folder-not-open"), and so is one that names no
 * folder: none is ever answered from another folder.
 */
export interface FolderHostOptions {
  readonly folder: string;
  readonly host: "loopback" | "electron";
  readonly canPickFolder: boolean;
  readonly media: Media;
  readonly cacheDir: string;
  /** Folder of the person's shelf, the same for every field folder; left out where there is none. */
  readonly shelfDir?: string | undefined;
  /** The list of folders opened before; left out where none is kept. */
  readonly recent?: RecentFolders | undefined;
  readonly rendererDir: string;
  readonly log?: (error: unknown) => void;
}

export interface FolderHost {
  /** Answers the page, /host and /api. Never rejects. The host has checked by then who asks. */
  fetch(request: Request): Promise<Response>;
  /** Every open folder, the one opened last first. */
  folders(): readonly OpenFolder[];
  /**
   * Opens a field folder beside those that are open. Whoever shows it then remembers it.
   * @throws FaultError when it cannot be opened
   */
  openFolder(path: string): Promise<OpenFolder>;
  /** Closes a folder once its saves have ended; its id is refused from now on. */
  closeFolder(id: string): Promise<void>;
  close(): Promise<void>;
}

const OpenSchema = z.strictObject({ path: z.string().min(1) });
const ForgetSchema = z.strictObject({ folder: z.string().min(1) });
const OF_A_FOLDER = /^\/api\/folders\/([^/]+)(\/.*)$/;

/** @throws FaultError when the first folder cannot be opened */
export async function createFolderHost(options: FolderHostOptions): Promise<FolderHost> {
  const log = options.log ?? ((error: unknown) => console.error(error));
  const { cacheDir, shelfDir, media } = options;
  const files = createRendererFiles(options.rendererDir);
  const folders = createOpenFolders((folder) => createService({ folder, cacheDir, shelfDir, media, log }));
  const { recent } = options;
  const look = createFolderLook();
  let remembering: Promise<unknown> = Promise.resolve();
  remember(await folders.open(options.folder));

  /** Nobody who opens a folder waits for it; the list and the closing host do. */
  function remember({ folder }: OpenFolder): void {
    remembering = Promise.all([remembering, recent?.remember(folder, new Date())]);
  }

  async function openFolder(path: string): Promise<OpenFolder> {
    return folders.open(await folderFor(path));
  }

  function info(id: string | null): Response {
    const folder = id === null ? folders.all()[0] : folders.find(id);
    if (folder === undefined) throw noFolder();
    return jsonReply({ host: options.host, ...folder, canPickFolder: options.canPickFolder });
  }

  async function recentFolders(): Promise<Response> {
    await remembering;
    const entries = (await recent?.list()) ?? [];
    const standings = await look(entries.map(({ folder }) => folder));
    return jsonReply({
      folders: entries.map((entry, i) => ({
        ...entry,
        name: basename(entry.folder) || entry.folder,
        standing: standings[i],
      })),
    });
  }

  async function answer(request: Request): Promise<Response> {
    const url = new URL(request.url);
    const { pathname } = url;
    const ofFolder = OF_A_FOLDER.exec(pathname);
    if (ofFolder !== null) {
      url.pathname = `/api${ofFolder[2]}`;
      return folders.fetch(elementAt(ofFolder, 1), moved(request, url));
    }
    if (/^\/api(\/|$)/.test(pathname)) throw folderNotNamed(pathname);
    const asked = `${request.method} ${pathname}`;
    if (asked === "GET /host/info") return info(url.searchParams.get("folder"));
    if (asked === "GET /host/folders") return jsonReply({ folders: folders.all() });
    if (asked === "POST /host/open") {
      const { path } = await readBody(request, OpenSchema);
      const opened = await openFolder(path);
      remember(opened);
      return jsonReply(opened);
    }
    if (asked === "GET /host/recent") return recentFolders();
    if (asked === "POST /host/recent/forget") {
      const { folder } = await readBody(request, ForgetSchema);
      await recent?.forget(folder);
      return jsonReply({});
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
    folders: folders.all,
    openFolder,
    closeFolder: folders.close,
    async fetch(request) {
      try {
        return await answer(request);
      } catch (error) {
        return faultReply(faultFrom(error, log, request.signal));
      }
    },
    async close() {
      await Promise.all([folders.closeAll(), remembering]);
    },
  };
}

/** The same request at another address; its body is handed on as it comes. */
function moved(request: Request, url: URL): Request {
  const { method, headers, signal, body } = request;
  return new Request(url, { method, headers, signal, ...(body && { body, duplex: "half" }) });
}

/**
 * Takes ~ for the home folder, and a file for the folder it lies in: people drop clips as well as folders.
 */
async function folderFor(given: string): Promise<string> {
  const path = resolve(/^~(?=$|[\\/])/.test(given) ? join(homedir(), given.slice(1)) : given);
  const isFile = await stat(path).then(
    (stats) => stats.isFile(),
    () => false, // Not there: opening it as a folder says so in words.
  );
  return isFile ? dirname(path) : path;
}

function folderNotNamed(pathname: string): FaultError {
  return new FaultError(
    "folder-not-named",
    `The request at ${pathname} does not say which folder it is for.`,
    "Reload the window, so that it and the host are of one version.",
  );
}

function noFolder(): FaultError {
  return new FaultError(
    "folder-not-open",
    "No folder is open.",
    "Open a field folder: type the path of the folder that holds your clips.",
  );
}
