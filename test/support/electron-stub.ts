import { EventEmitter } from "node:events";

/**
 * Stands in for the electron module when the built desktop host is tested: it notes what the host
 * asks of Electron and lets a test act as Electron does. Real windows, the real sandbox and the real
 * scheme are not proved by it.
 */
type Handler = (...args: unknown[]) => unknown;

export const noted = {
  schemes: [] as { scheme: string; privileges: Record<string, boolean> }[],
  protocols: new Map<string, (request: Request) => Promise<Response>>(),
  channels: new Map<string, Handler>(),
  windows: [] as BrowserWindow[],
  errors: [] as [string, string][],
  exits: [] as number[],
  menu: [] as { label?: string; role?: string; submenu?: { label?: string; click?: () => void }[] }[],
  permissionRequest: undefined as Handler | undefined,
  permissionCheck: undefined as Handler | undefined,
  /** What the next file dialogs answer. */
  picks: [] as (string | null)[],
  /** What the page does when it is sent something. */
  page: (() => {}) as Handler,
  /** The questions put to the person, and which button is pressed next. */
  questions: [] as { message: string; detail: string; buttons: string[] }[],
  answers: [] as (number | Promise<number>)[],
};

/** An event as Electron emits it. */
function eventOf() {
  return {
    prevented: false,
    preventDefault() {
      this.prevented = true;
    },
  };
}

class WebContents extends EventEmitter {
  windowOpen: Handler | undefined;
  url = "";
  send(channel: string, ...given: unknown[]): void {
    noted.page(channel, ...given);
  }
  isCrashed(): boolean {
    return false;
  }
  getURL(): string {
    return this.url;
  }
  setWindowOpenHandler(handler: Handler): void {
    this.windowOpen = handler;
  }
  async printToPDF(): Promise<Buffer> {
    return Buffer.from("%PDF-1.4");
  }
}

export class BrowserWindow extends EventEmitter {
  readonly options: { webPreferences: Record<string, unknown> };
  readonly webContents = new WebContents();
  readonly urls: string[] = [];
  focused = 0;
  constructor(options: BrowserWindow["options"]) {
    super();
    this.options = options;
    noted.windows.push(this);
    app.emit("web-contents-created", {}, this.webContents);
  }
  async loadURL(url: string): Promise<void> {
    this.urls.push(url);
    this.webContents.url = url;
    this.webContents.emit("did-navigate", {}, url);
  }
  destroyed = false;
  isDestroyed(): boolean {
    return this.destroyed;
  }
  /** Closes unless somebody holds it back; the last window to close is told. */
  close(): void {
    if (this.destroyed) return;
    const event = eventOf();
    this.emit("close", event);
    if (event.prevented) return;
    this.destroyed = true;
    if (noted.windows.every((window) => window.destroyed)) app.emit("window-all-closed");
  }
  isMinimized(): boolean {
    return false;
  }
  restore(): void {}
  focus(): void {
    this.focused++;
  }
}

class App extends EventEmitter {
  isPackaged = false;
  locks = 0;
  requestSingleInstanceLock(): boolean {
    this.locks++;
    return true;
  }
  async whenReady(): Promise<void> {}
  quitting = false;
  /** Asks everybody in Electron's order; who prevents it stops it there. */
  quit(): void {
    if (this.quitting) return;
    const before = eventOf();
    this.emit("before-quit", before);
    if (before.prevented) return;
    this.quitting = true;
    for (const window of noted.windows) window.close();
    this.quitting = false;
    if (noted.windows.some((window) => !window.destroyed)) return;
    const will = eventOf();
    this.emit("will-quit", will);
    if (!will.prevented) noted.exits.push(0);
  }
  exit(code: number): void {
    noted.exits.push(code);
  }
}

export const app = new App();

export const protocol = {
  registerSchemesAsPrivileged: (schemes: typeof noted.schemes) => noted.schemes.push(...schemes),
  handle: (scheme: string, handler: (request: Request) => Promise<Response>) =>
    noted.protocols.set(scheme, handler),
};

export const ipcMain = {
  handle: (channel: string, handler: Handler) => noted.channels.set(channel, handler),
};

export const session = {
  defaultSession: {
    flushStorageData(): void {},
    setPermissionRequestHandler: (handler: Handler) => {
      noted.permissionRequest = handler;
    },
    setPermissionCheckHandler: (handler: Handler) => {
      noted.permissionCheck = handler;
    },
  },
};

export const dialog = {
  async showOpenDialog() {
    const picked = noted.picks.shift() ?? null;
    return { canceled: picked === null, filePaths: picked === null ? [] : [picked] };
  },
  async showSaveDialog() {
    const picked = noted.picks.shift() ?? null;
    return { canceled: picked === null, filePath: picked ?? "" };
  },
  async showMessageBox(question: (typeof noted.questions)[number]) {
    noted.questions.push(question);
    return { response: await (noted.answers.shift() ?? 0) };
  },
  showMessageBoxSync(question: (typeof noted.questions)[number]) {
    noted.questions.push(question);
    return noted.answers.shift() ?? 0;
  },
  showErrorBox: (title: string, text: string) => noted.errors.push([title, text]),
};

export const Menu = {
  buildFromTemplate: (template: typeof noted.menu) => template,
  setApplicationMenu: (menu: typeof noted.menu) => {
    noted.menu = menu;
  },
};
