import type { FolderHost } from "../../src/main/host/folder-host.ts";
import { type Actions, createActions } from "../../src/renderer/actions/actions.ts";
import { sessionOf } from "../../src/renderer/app-state/app-state.ts";
import { createHttpService } from "../../src/renderer/host/http-service.ts";
import { unsavedNotesIn } from "../../src/renderer/saving/unsaved-notes.ts";
import type { ShotResult } from "../../src/shared/results/shot-result.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { memoryStorage } from "../support/memory-storage.ts";

/** Told of each "saved" that a page shows: the folder it shows, and the document that is said to be there. */
export type OnSaved = (folder: string, document: Session) => void;

/** A browser's tab: pages come and go in it, its address stays. */
export interface Tab {
  actions(): Actions;
  /** Real path of the folder that the page shows; null when its page could not open one. */
  folder(): string | null;
  /** Resolves when the page has no request under way and nothing left to do at once. */
  settled(): Promise<void>;
  /** Lets the page's timers run that wait now. */
  ring(): void;
  reload(): Promise<void>;
  /** Opens a folder as a person does: the page saves, the host opens it, the tab goes on to its page. */
  openFolder(path: string): Promise<void>;
  /** The tab is closed: its page leaves, and what it sent still arrives. */
  close(): Promise<void>;
}

interface Page {
  readonly actions: Actions;
  readonly timers: Set<() => void>;
  readonly requests: Set<Promise<unknown>>;
}

/** The browser's storage, which all tabs of one host share. */
const storages = new WeakMap<FolderHost, ReturnType<typeof memoryStorage>>();
let pageCount = 0;

/** Opens a tab at the host's plain address. */
export async function openTab(host: FolderHost, onSaved: OnSaved): Promise<Tab> {
  let search: string | null = null;
  const storage = storages.get(host) ?? memoryStorage();
  storages.set(host, storage);
  const pages: Page[] = [];

  function load(): Page {
    const timers = new Set<() => void>();
    const requests = new Set<Promise<unknown>>();
    const actions = createActions({
      service: createHttpService({
        fetch(path, init) {
          const { keepalive: _dropped, ...rest } = init ?? {};
          const answer = host.fetch(new Request(`http://127.0.0.1${path}`, rest));
          requests.add(answer);
          void answer.finally(() => requests.delete(answer));
          return answer;
        },
        address: {
          folder: () => search,
          keep: (id) => {
            search = id;
          },
          goTo: (id) => {
            search = id;
          },
        },
        pickFolder: async () => null,
      }),
      measure: async ({ shotId }) => ({ shotId, notices: [] }) as unknown as ShotResult,
      later(run) {
        timers.add(run);
        return () => timers.delete(run);
      },
      unsaved: unsavedNotesIn(storage, `page-${++pageCount}`),
      now: () => new Date(),
    });
    let was = actions.store.get().save.status;
    actions.store.subscribe(() => {
      const { save, host: info } = actions.store.get();
      if (save.status === was) return;
      was = save.status;
      if (was === "saved" && info !== null) onSaved(info.folder, sessionOf(actions.store.get()));
    });
    const page = { actions, timers, requests };
    pages.push(page);
    return page;
  }

  let page = load();
  await page.actions.open();

  /** Pages that were left too: what they sent is still under way. */
  async function settled(): Promise<void> {
    for (let quiet = 0; quiet < 3; quiet++) {
      const requests = pages.flatMap((one) => [...one.requests]);
      if (requests.length > 0) quiet = 0;
      await Promise.allSettled(requests);
      await new Promise((resolve) => setImmediate(resolve));
    }
  }

  /** As a browser does: the page is told that it goes, its timers stop, and the next one begins. */
  async function goOn(): Promise<void> {
    void page.actions.leave();
    page.timers.clear();
    page = load();
    await page.actions.open();
  }

  return {
    actions: () => page.actions,
    folder: () => page.actions.store.get().host?.folder ?? null,
    settled,
    ring() {
      for (const run of [...page.timers]) {
        page.timers.delete(run);
        run();
      }
    },
    reload: goOn,
    async openFolder(path) {
      const { service, saveNow } = page.actions;
      await saveNow();
      service.show(await service.openFolder(path));
      await goOn();
    },
    async close() {
      await page.actions.leave();
      page.timers.clear();
    },
  };
}
