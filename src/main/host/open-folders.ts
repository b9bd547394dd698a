import { randomBytes } from "node:crypto";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Service } from "../service/create-service.ts";
import { openFieldFolder } from "../store/field-folder.ts";

/** A field folder that is open: what a page names it by, where it is, and what it is called. */
export interface OpenFolder {
  /** Random for each opening: it cannot be guessed, and a folder that is opened again has another one. */
  readonly id: string;
  /** Real path. */
  readonly folder: string;
  readonly name: string;
}

/**
 * The field folders that a host has open, each with a service of its own. A request reaches the service of
 * the folder that it names, or none.
 */
export interface OpenFolders {
  /**
   * Opens a folder; one that is open already stays open under its id.
   * @throws FaultError when it cannot be opened
   */
  open(path: string): Promise<OpenFolder>;
  /** @throws FaultError "folder-not-open" */
  find(id: string): OpenFolder;
  /** Every open folder, the one opened last first. */
  all(): readonly OpenFolder[];
  /** Answers a request by the service of the folder. @throws FaultError "folder-not-open" */
  fetch(id: string, request: Request): Promise<Response>;
  /** From now on the folder's id is refused; resolves once its saves have ended and its jobs have let go. */
  close(id: string): Promise<void>;
  closeAll(): Promise<void>;
}

interface Entry extends OpenFolder {
  readonly service: Service;
  /** Requests that may write and are not answered yet. */
  readonly writing: Set<Promise<unknown>>;
}

const ID_BYTES = 16; // as many as a random UUID has, and then some: nobody comes by one by chance

/** @param serve makes the service of a folder by its real path */
export function createOpenFolders(serve: (path: string) => Service): OpenFolders {
  const entries = new Map<string, Entry>();
  const closing = new Map<string, Promise<void>>();

  function entryOf(id: string): Entry {
    const entry = entries.get(id);
    if (entry === undefined) throw notOpen();
    return entry;
  }

  async function close(id: string): Promise<void> {
    const entry = entries.get(id);
    if (entry === undefined) return;
    entries.delete(id);
    const closed = Promise.allSettled(entry.writing).then(() => entry.service.close());
    closing.set(entry.folder, closed);
    await closed.finally(() => closing.delete(entry.folder));
  }

  return {
    async open(path) {
      const { path: folder, name } = await openFieldFolder(path);
      // A service whose folder was exchanged for another at the same path answers nothing any more:
      // the new one gets its own.
      for (const { id, service } of [...entries.values()].filter((one) => one.folder === folder)) {
        if (!(await service.isThere())) await close(id);
      }
      // Two services never write one folder: the new one begins when the former has let go.
      while (closing.has(folder)) await closing.get(folder)?.catch(() => {});
      // Asked and acted on without a pause: two tabs that open one folder at once must share its service.
      const before = [...entries.values()].find((one) => one.folder === folder);
      const id = before?.id ?? randomBytes(ID_BYTES).toString("base64url");
      const entry = before ?? { id, folder, name, service: serve(folder), writing: new Set() };
      entries.delete(id);
      entries.set(id, entry);
      return told(entry);
    },
    find: (id) => told(entryOf(id)),
    all: () => [...entries.values()].reverse().map(told),
    async fetch(id, request) {
      const { service, writing } = entryOf(id);
      const answer = service.fetch(request);
      if (request.method === "GET" || request.method === "HEAD") return answer;
      writing.add(answer);
      return answer.finally(() => writing.delete(answer));
    },
    close,
    async closeAll() {
      await Promise.all([...entries.keys()].map(close));
    },
  };
}

function told({ id, folder, name }: OpenFolder): OpenFolder {
  return { id, folder, name };
}

function notOpen(): FaultError {
  return new FaultError(
    "folder-not-open",
    "The folder that this window shows is not open any more: it was closed, or Loftmark was restarted.",
    "Reload the window: it then offers the folders that are open, and keeps what is not saved yet.",
  );
}
