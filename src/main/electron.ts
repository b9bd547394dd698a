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
import { PICK_FOLDER, SAVE_PDF, SHOW_FOLDER } from "./host/desktop-channels.ts";
import { createFolderHost, type FolderHost } from "./host/folder-host.ts";
import { quitInOrder } from "./host/quit-in-order.ts";
import { findRendererDir } from "./host/renderer-files.ts";
import {
  exampleFolder,
  personDirs,
  recentFolder,
  rememberFolder,
  requireFfmpeg,
} from "./host/start-of-day.ts";
import { createMedia } from "./media/create-media.ts";
import { faultFrom } from "./service/replies.ts";

/**
 * The desktop host. The page lives at loftmark://app/ and talks to the same handler as everywhere, through a scheme of
 * our own: no port is opened. The page can reach nothing else; this file adds the folder picker, the menu, dropped
 * files and printing.
 */
const SCHEME = "loftmark";
const HOME = `${SCHEME}://app/`;

protocol.registerSchemesAsPrivileged([
  { scheme: SCHEME, privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true } },
]);

let host: FolderHost | undefined;
let window: BrowserWindow | undefined;

if (app.requestSingleInstanceLock()) {
  app.on("second-instance", (_event, argv, workingDirectory) => {
    if (window?.isMinimized()) window.restore();
    window?.focus();
    const folder = folderIn(argv);
    if (folder !== null) void showFolder(resolve(workingDirectory, folder));
  });
  app.on("window-all-closed", () => app.quit());
  app.on("web-contents-created", (_event, contents) => {
    contents.on("will-navigate", (event, url) => {
      if (!isOurs(url)) event.preventDefault();
    });
    contents.on("will-attach-webview", (event) => event.preventDefault());
    contents.setWindowOpenHandler(() => ({ action: "deny" }));
  });
  app.whenReady().then(start).catch(giveUp);
} else {
  app.quit();
}

async function start(): Promise<void> {
  const { cacheDir, dataDir } = personDirs();
  const ffmpegPath = requireFfmpeg();
  const given = folderIn(process.argv) ?? (app.isPackaged ? await recentFolder(dataDir) : null);
  const opened = await createFolderHost({
    folder: given ?? (await exampleFolder(dataDir, ffmpegPath)),
    host: "electron",
    canPickFolder: true,
    media: createMedia({ ffmpegPath, cacheDir }),
    cacheDir,
    rendererDir: findRendererDir(import.meta.dirname),
    onFolder: (folder) => void rememberFolder(dataDir, folder).catch(() => {}), // only a convenience
  });
  host = opened;
  if (given !== null) await rememberFolder(dataDir, opened.folder).catch(() => {});
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
  Menu.setApplicationMenu(Menu.buildFromTemplate(menu()));
  quitInOrder(app, () => opened.close(), console.error);
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
  await window.loadURL(HOME);
}

/** True for addresses of the page itself. Chromium's URL gives our scheme no origin, so its parts are compared. */
function isOurs(url: string): boolean {
  const { protocol: scheme, host: name } = new URL(url);
  return scheme === `${SCHEME}:` && name === "app";
}

/** Answers the preload's question on a channel, when it comes from the page itself. */
function answerPage(channel: string, answer: (argument: unknown) => Promise<unknown>): void {
  ipcMain.handle(channel, (event, argument: unknown) => {
    if (!isOurs(event.senderFrame?.url ?? "about:blank"))
      throw new Error("Only Loftmark's own page may ask this.");
    return answer(argument);
  });
}

/** The folder named on the command line: the last argument that is no switch and not the program itself. */
function folderIn(argv: readonly string[]): string | null {
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

/** Opens a folder and shows it; a folder that cannot be opened is said in words, and the old one stays. */
async function showFolder(path: string): Promise<void> {
  try {
    await host?.openFolder(path);
    await window?.loadURL(HOME);
  } catch (error) {
    tell(error);
  }
}

async function savePdf(): Promise<string | null> {
  if (window === undefined || host === undefined) return null;
  const { canceled, filePath } = await dialog.showSaveDialog(window, {
    title: "Save this page as PDF",
    defaultPath: join(host.folder, "loftmark.pdf"),
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
