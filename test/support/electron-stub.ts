import { EventEmitter } from "node:events";

/**
 * Stands in for the electron module when the built desktop host is tested: it notes what the host asks of Electron
 * and lets a test act as Electron does. Real windows, the real sandbox and the real scheme are not proved by it.
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
};

class WebContents extends EventEmitter {
  windowOpen: Handler | undefined;
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
  quit(): void {
    noted.exits.push(0);
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
  showErrorBox: (title: string, text: string) => noted.errors.push([title, text]),
};

export const Menu = {
  buildFromTemplate: (template: typeof noted.menu) => template,
  setApplicationMenu: (menu: typeof noted.menu) => {
    noted.menu = menu;
  },
};
