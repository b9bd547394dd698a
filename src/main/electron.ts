import { writeFile } from "node:fs/promises";
import { join, resolve } from "node:path";
import {
  app,
  BrowserWindow,
  dialog,
  ipcMain,
  Menu,
  type MenuItemConstructorOptions,
  protocol,
  session,
} from "electron";
import type { Fault } from "../shared/quantity/notice.ts";
import { FINISH_SAVES, PICK_FOLDER, SAVE_PDF, SAVES_FINISHED, SHOW_FOLDER } from "./host/desktop-channels.ts";
import { folderIn, HOME, isOurs, pageOf, SCHEME } from "./host/desktop-page.ts";
import { createFinishPage } from "./host/finish-page.ts";
import { createFolderHost, type FolderHost } from "./host/folder-host.ts";
import { LEAVE, leaveQuestion, NOT_SAVED } from "./host/leave-question.ts";
import type { OpenFolder } from "./host/open-folders.ts";
import { findRendererDir } from "./host/renderer-files.ts";
import { exampleFolder, folderOfLastTime, personDirs, requireFfmpeg } from "./host/start-of-day.ts";
import { createMedia } from "./media/create-media.ts";
import { faultFrom } from "./service/replies.ts";
import { createRecentFolders, type RecentFolders } from "./store/recent-folders.ts";
import { shelfFolder } from "./store/shelf-file.ts";

/**
 * The desktop host. The page lives at loftmark://app/ and talks to the same handler as everywhere,
 * through a scheme of our own: no port is opened. The page can reach nothing else; this file adds the
 * folder picker, the menu, dropped files and printing, and waits for the page's last save before its
 * window shows another folder or goes.
 */

protocol.registerSchemesAsPrivileged([
  { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
]);

let host: FolderHost | undefined;
let recent: RecentFolders | undefined;
let window: BrowserWindow | undefined;
/** True once the page has saved, or the person leaves without: nothing holds it back any more. */
let mayGo = false;
let closed = false;

const finishPage = createFinishPage({
  ask(question) {
    const page = window?.isDestroyed() === false ? window.webContents : undefined;
    if (page === undefined || page.isCrashed()) return false;
    page.send(FINISH_SAVES, question);
    return true;
  },
  async waitOrLeave(fault) {
    const { response } = await dialog.showMessageBox(leaveQuestion(fault));
    return response === LEAVE ? "leave" : "wait";
  },
  later(run, ms) {
    const timer = setTimeout(run, ms);
    return () => clearTimeout(timer);
  },
});

if (app.requestSingleInstanceLock()) {
  app.on("second-instance", (_event, argv, workingDirectory) => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
    const folder = folderNamed(argv);
    if (folder !== null) void showFolder(resolve(workingDirectory, folder));
  });
  app.on("window-all-closed", () => app.quit());
  app.on("web-contents-created", (_event, contents) => {
    contents.on("will-navigate", (event, url) => {
      if (!isOurs(url)) event.preventDefault();
    });
    contents.on("will-attach-webview", (event) => event.preventDefault());
    contents.setWindowOpenHandler(() => ({ action: "deny" }));
    contents.on("did-navigate", (_navigated, url) => void nowShows(url));
    // A page with something unsaved holds itself back; without this, nothing would be said
    // and nothing would happen.
    contents.on("will-prevent-unload", (event) => {
      if (mayGo || dialog.showMessageBoxSync(leaveQuestion(NOT_SAVED)) === LEAVE) event.preventDefault();
    });
  });
  app.on("before-quit", (event) => holdBack(event, () => app.quit()));
  app.on("will-quit", (event) => {
    if (closed || host === undefined) return;
    event.preventDefault();
    session.defaultSession.flushStorageData(); // the unsaved note
    void host.close().finally(() => {
      closed = true;
      app.quit();
    });
  });
  app.whenReady().then(start).catch(giveUp);
} else {
  app.quit();
}

async function start(): Promise<void> {
  const { cacheDir, dataDir } = personDirs();
  const ffmpegPath = requireFfmpeg();
  recent = createRecentFolders(dataDir);
  const given = folderNamed(process.argv) ?? (app.isPackaged ? await folderOfLastTime(recent) : null);
  const opened = await createFolderHost({
    folder: given ?? (await exampleFolder(dataDir, ffmpegPath)),
    host: "electron",
    canPickFolder: true,
    media: createMedia({ ffmpegPath, cacheDir }),
    cacheDir,
    shelfDir: shelfFolder(dataDir),
    recent,
    rendererDir: findRendererDir(import.meta.dirname),
  });
  host = opened;
  const first = opened.folders()[0]!;
  protocol.handle(SCHEME, (request) => {
    const foreign =
      !isOurs(request.url) || ![null, "null", HOME.slice(0, -1)].includes(request.headers.get("origin"));
    return foreign ? new Response("Not here.\n", { status: 403 }) : opened.fetch(request);
  });
  session.defaultSession.setPermissionRequestHandler((_contents, _permission, answer) => answer(false));
  session.defaultSession.setPermissionCheckHandler(() => false);
  answerPage(PICK_FOLDER, pickFolder);
  answerPage(SHOW_FOLDER, (path) => showFolder(String(path)));
  answerPage(SAVE_PDF, savePdf);
  answerPage(SAVES_FINISHED, async (question, fault) =>
    finishPage.answered(Number(question), fault as Fault | null),
  );
  Menu.setApplicationMenu(Menu.buildFromTemplate(menu()));
  window = new BrowserWindow({
    width: 1440,
    height: 900,
    title: "Loftmark",
    webPreferences: {
      preload: join(import.meta.dirname, "../preload/preload.cjs"),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
    },
  });
  window.on("close", (event) => holdBack(event, () => window?.close()));
  await window.loadURL(pageOf(first.id));
}

/**
 * Keeps the window until its page has saved, then goes on with what was wanted; unless the
 * person would rather stay.
 */
function holdBack(event: { preventDefault(): void }, goOn: () => void): void {
  if (mayGo) return;
  event.preventDefault();
  void finishPage.finish().then((finish) => {
    if (finish === "stay" || mayGo) return;
    mayGo = true;
    goOn();
  });
}

/** Once the window shows another folder, those before it are closed: requests for them are refused. */
async function nowShows(url: string): Promise<void> {
  const folders = host?.folders() ?? [];
  const shown = folders.find(({ id }) => id === folderIn(url));
  if (shown === undefined || folders.length === 1) return;
  await Promise.all(folders.map(({ id }) => (id === shown.id ? null : host?.closeFolder(id))));
  await recent?.remember(shown.folder, new Date());
}

/** Answers the preload's question on a channel, when it comes from the page itself. */
function answerPage(channel: string, answer: (...given: unknown[]) => Promise<unknown>): void {
  ipcMain.handle(channel, (event, ...given: unknown[]) => {
    if (!isOurs(event.senderFrame?.url ?? "about:blank"))
      throw new Error("Only Loftmark's own page may ask this.");
    return answer(...given);
  });
}

/** The folder named on the command line: the last argument that is no switch and not the program itself. */
function folderNamed(argv: readonly string[]): string | null {
  const own = argv.slice(app.isPackaged ? 1 : 2).filter((argument) => !argument.startsWith("-"));
  return own.at(-1) ?? null;
}

async function pickFolder(): Promise<string | null> {
  const { canceled, filePaths } = await dialog.showOpenDialog({
    title: "Open a field folder",
    properties: ["openDirectory"],
  });
  return canceled ? null : (filePaths[0] ?? null);
}

let showing: Promise<void> = Promise.resolve();

/** One folder after the other: two that are dropped at once must not close each other. */
function showFolder(path: string): Promise<void> {
  showing = showing.then(() => showNow(path));
  return showing;
}

/**
 * Opens a folder and shows it, once the page has saved what it has; a folder that cannot be opened is said in
 * words, and the one before stays.
 */
async function showNow(path: string): Promise<void> {
  try {
    if (host === undefined || window === undefined) return;
    const shown = shownFolder();
    const { id } = await host.openFolder(path);
    if ((await finishPage.finish()) === "stay") {
      if (id !== shown?.id) await host.closeFolder(id);
      return;
    }
    mayGo = true;
    await window.loadURL(pageOf(id)).finally(() => {
      mayGo = false;
    });
  } catch (error) {
    tell(error);
  }
}

function shownFolder(): OpenFolder | undefined {
  const id = folderIn(window?.webContents.getURL() || HOME);
  return host?.folders().find((folder) => folder.id === id);
}

async function savePdf(): Promise<string | null> {
  if (window === undefined || host === undefined) return null;
  const { canceled, filePath } = await dialog.showSaveDialog(window, {
    title: "Save this page as PDF",
    defaultPath: join(shownFolder()?.folder ?? "", "loftmark.pdf"),
    filters: [{ name: "PDF", extensions: ["pdf"] }],
  });
  if (canceled || filePath === undefined || filePath === "") return null;
  await writeFile(filePath, await window.webContents.printToPDF({ printBackground: true, pageSize: "A4" }));
  return filePath;
}

function menu(): MenuItemConstructorOptions[] {
  const open = async () => {
    const folder = await pickFolder();
    if (folder !== null) await showFolder(folder);
  };
  return [
    ...(process.platform === "darwin" ? [{ role: "appMenu" } as const] : []),
    {
      label: "File",
      submenu: [
        { label: "Open a field folder…", accelerator: "CmdOrCtrl+O", click: () => void open() },
        {
          label: "Save this page as PDF…",
          accelerator: "CmdOrCtrl+P",
          click: () => void savePdf().catch(tell),
        },
        { type: "separator" },
        { role: process.platform === "darwin" ? "close" : "quit" },
      ],
    },
    // No undo and redo here: the page has its own, and the menu would take their keys away.
    { label: "Edit", submenu: [{ role: "cut" }, { role: "copy" }, { role: "paste" }, { role: "selectAll" }] },
    {
      label: "View",
      submenu: [{ role: "resetZoom" }, { role: "zoomIn" }, { role: "zoomOut" }, { role: "togglefullscreen" }],
    },
  ];
}

function tell(error: unknown): void {
  const { cause, remedy } = faultFrom(error, console.error);
  dialog.showErrorBox(cause, remedy);
}

function giveUp(error: unknown): void {
  tell(error);
  app.exit(1);
}
