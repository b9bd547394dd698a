import { existsSync } from "node:fs";
import { mkdtemp, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { freshSession } from "../../src/shared/session/fresh.ts";
import { app, noted } from "../support/electron-stub.ts";

vi.mock("electron", () => import("../support/electron-stub.ts"));

const HOME = "loftmark://app/";
const BUNDLE = "../../out/main/electron.js";

let home: string;
let first: string;
let second: string;

/** A question of the page, as Chromium would hand it to the scheme. */
function ask(url: string, init?: RequestInit): Promise<Response> {
  return noted.protocols.get("loftmark")!(new Request(url, init));
}

/** What the page says is left unsaved. */
let unsaved: unknown = null;

function answer(question: unknown, fault: unknown): void {
  noted.channels.get("loftmark:saves-finished")!({ senderFrame: { url: HOME } }, question, fault);
}

/** Has the page answer as soon as it is asked. */
function answering(): void {
  noted.page = (_channel, question) => answer(question, unsaved);
}

const json = (body: unknown) => ({
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});

beforeAll(async () => {
  home = await realpath(await mkdtemp(join(tmpdir(), "loftmark desktop ")));
  [first, second] = [await mkdtemp(join(home, "first")), await mkdtemp(join(home, "second"))];
  await writeFile(join(first, "one.mp4"), "");
  await writeFile(join(second, "two.mp4"), "");
  vi.stubEnv("LOFTMARK_CACHE", join(home, "cache"));
  vi.stubEnv("LOFTMARK_DATA", join(home, "data"));
  answering();
  vi.spyOn(process, "argv", "get").mockReturnValue(["electron", "app", "--some-switch", first]);
  await import(/* @vite-ignore */ BUNDLE);
  // No poll of expect outside a test; the limit only ends what would never end.
  await vi.waitFor(() => expect([noted.windows[0]?.urls.length, noted.errors]).toEqual([1, []]), {
    timeout: 5 * 60_000,
  });
});

beforeEach(() => {
  noted.errors.length = 0;
  noted.picks.length = 0;
  noted.questions.length = 0;
  noted.answers.length = 0;
  unsaved = null;
});

afterAll(() => rm(home, { recursive: true, force: true }));

describe("the desktop window", () => {
  it("is sandboxed and isolated, with the preload that was built", () => {
    const { preload, ...preferences } = noted.windows[0]!.options.webPreferences;
    expect(preferences).toEqual({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      webSecurity: true,
      webviewTag: false,
    });
    expect(existsSync(String(preload))).toBe(true);
    expect(noted.windows).toHaveLength(1);
  });

  it("may not leave the page, open windows, attach web views or be given permissions", () => {
    const { webContents } = noted.windows[0]!;
    const goes = (url: string) => {
      const event = { preventDefault: vi.fn() };
      webContents.emit("will-navigate", event, url);
      return event.preventDefault.mock.calls.length === 0;
    };
    expect([HOME, `${HOME}index.html`].map(goes)).toEqual([true, true]);
    const foreign = [
      "https://evil.example/",
      "file:///etc/passwd",
      "loftmark://other/",
      "http://app/",
      "about:blank",
    ];
    expect(foreign.map(goes)).toEqual(foreign.map(() => false));
    expect(webContents.windowOpen?.({ url: HOME })).toEqual({ action: "deny" });
    const attach = { preventDefault: vi.fn() };
    webContents.emit("will-attach-webview", attach);
    expect(attach.preventDefault).toHaveBeenCalledOnce();
    const answer = vi.fn();
    for (const permission of ["media", "geolocation", "notifications", "clipboard-read"]) {
      noted.permissionRequest?.({}, permission, answer);
      expect(noted.permissionCheck?.({}, permission)).toBe(false);
    }
    expect(answer.mock.calls).toEqual([[false], [false], [false], [false]]);
  });

  it("is the only one: a second start brings it to the front and hands over its folder", async () => {
    expect(app.locks).toBe(1);
    app.emit("second-instance", {}, ["electron", "app", second], "/");
    await expect.poll(folder).toBe(second);
    expect(noted.windows[0]!.focused).toBe(1);
    app.emit("second-instance", {}, ["electron", "app", "first-not-there"], home);
    await expect.poll(() => noted.errors[0]?.[0]).toContain("There is no folder");
    expect(await folder()).toBe(second);
  });
});

/** Id of the folder in the address of the page that the window shows. */
function shownId(): string {
  return new URL(noted.windows[0]!.urls.at(-1)!).searchParams.get("folder")!;
}

/** The folder of the page that the window shows. */
async function folder(): Promise<string> {
  const info = await ask(`${HOME}host/info?folder=${shownId()}`);
  return ((await info.json()) as { folder: string }).folder;
}

async function openIds(): Promise<string[]> {
  const { folders } = (await (await ask(`${HOME}host/folders`)).json()) as { folders: { id: string }[] };
  return folders.map(({ id }) => id);
}

describe("the scheme", () => {
  it("is a standard, secure one that fetch may use", () => {
    expect(noted.schemes).toEqual([
      {
        scheme: "loftmark",
        privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true },
      },
    ]);
    expect([...noted.protocols.keys()]).toEqual(["loftmark"]);
  });

  it("gives the page with its policy, and every file that the page names", async () => {
    const page = await ask(HOME);
    expect([page.status, page.headers.get("content-type")]).toEqual([200, "text/html; charset=utf-8"]);
    const policy = page.headers.get("content-security-policy")!;
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self';");
    const html = await page.text();
    const named = [...html.matchAll(/(?:src|href)="(\.\/[^"]+)"/g)].map((match) => match[1]!);
    expect(named.length).toBeGreaterThan(0);
    for (const path of named) expect((await ask(new URL(path, HOME).href)).status, path).toBe(200);
    expect(html).not.toMatch(/<script(?![^>]*\bsrc=)/);
  });

  it("refuses other hosts, other pages and paths out of the page", async () => {
    expect((await ask("loftmark://other/")).status).toBe(403);
    expect((await ask(`${HOME}api/session`, { headers: { origin: "https://evil.example" } })).status).toBe(
      403,
    );
    for (const path of [
      "..%2fmain%2felectron.js",
      "%2e%2e/preload/preload.cjs",
      "..%5cx.js",
      "nothing.html",
    ]) {
      expect((await ask(HOME + path)).status, path).toBe(404);
    }
  });

  it("answers the service and the host as the loopback host does", async () => {
    const { id } = (await (await ask(`${HOME}host/open`, json({ path: first }))).json()) as { id: string };
    const info = await ask(`${HOME}host/info`, { headers: { origin: "loftmark://app" } });
    expect(await info.json()).toMatchObject({ host: "electron", id, folder: first, canPickFolder: true });
    const api = `${HOME}api/folders/${id}`;
    const { clips } = (await (await ask(`${api}/clips`)).json()) as { clips: { name: string }[] };
    expect(clips.map((clip) => clip.name)).toEqual(["one.mp4"]);
    const inspect = await ask(`${api}/jobs`, json({ kind: "inspect", clip: "one.mp4" }));
    expect(inspect.status).toBe(201);
    expect((await ask(`${api}/session`, { method: "PUT", body: "{}" })).status).toBe(415);
    expect((await ask(`${HOME}api/clips`)).status).toBe(400);
    // The page goes on to it by itself; the folder before is then closed.
    const before = shownId();
    await noted.windows[0]!.loadURL(`${HOME}?folder=${id}`);
    await expect.poll(openIds).toEqual([id]);
    expect((await ask(`${HOME}api/folders/${before}/clips`)).status).toBe(410);
  });
});

/** The list of folders opened before, as the page is told it. */
async function recentlyOpened() {
  const reply = await ask(`${HOME}host/recent`);
  return ((await reply.json()) as { folders: { folder: string; standing: string }[] }).folders;
}

describe("folders opened before", () => {
  it("have the one of the start among them, are the page's to ask for, and nobody else's", async () => {
    const folders = await recentlyOpened();
    expect(folders.map((one) => one.folder).sort()).toEqual([first, second].sort());
    expect(folders.map(({ standing }) => standing)).toEqual(["there", "there"]);
    const foreign = { origin: "https://evil.example" };
    expect((await ask(`${HOME}host/recent`, { headers: foreign })).status).toBe(403);
    const forget = json({ folder: first });
    const refused = await ask(`${HOME}host/recent/forget`, {
      ...forget,
      headers: { ...forget.headers, ...foreign },
    });
    expect(refused.status).toBe(403);
    expect(await recentlyOpened()).toEqual(folders);
  });
});

describe("what the preload may ask", () => {
  const page = { senderFrame: { url: HOME } };

  it("is four things, and only for the page itself", () => {
    expect([...noted.channels.keys()].sort()).toEqual([
      "loftmark:pick-folder",
      "loftmark:save-pdf",
      "loftmark:saves-finished",
      "loftmark:show-folder",
    ]);
    for (const handler of noted.channels.values()) {
      for (const senderFrame of [{ url: "https://evil.example/" }, { url: "about:blank" }, null]) {
        expect(() => handler({ senderFrame }, first)).toThrow("Only Loftmark's own page may ask this.");
      }
    }
  });

  it("picks a folder without opening it", async () => {
    noted.picks.push(second, null);
    const pick = noted.channels.get("loftmark:pick-folder")!;
    expect([await pick(page), await pick(page)]).toEqual([second, null]);
    expect(await folder()).toBe(first);
  });

  it("shows a dropped folder or the folder of a dropped clip, remembers it, and tells what cannot be opened", async () => {
    const show = noted.channels.get("loftmark:show-folder")!;
    const loads = noted.windows[0]!.urls.length;
    await show(page, join(second, "two.mp4"));
    expect(await folder()).toBe(second);
    expect(noted.windows[0]!.urls).toHaveLength(loads + 1);
    await expect.poll(async () => (await recentlyOpened()).map((one) => one.folder)).toEqual([second, first]);
    await show(page, join(home, "nowhere"));
    expect(noted.errors).toEqual([
      [
        `There is no folder "${join(home, "nowhere")}".`,
        "Give the path of the folder that holds your clips.",
      ],
    ]);
    expect(await folder()).toBe(second);
  });

  it("saves the page as PDF where the person says, and nowhere when they think better of it", async () => {
    noted.picks.push(join(home, "page.pdf"), null);
    const save = noted.channels.get("loftmark:save-pdf")!;
    expect([await save(page), await save(page)]).toEqual([join(home, "page.pdf"), null]);
    expect(await readFile(join(home, "page.pdf"), "utf8")).toBe("%PDF-1.4");
  });
});

describe("the menu", () => {
  it("opens a field folder", async () => {
    const open = noted.menu
      .flatMap((menu) => menu.submenu ?? [])
      .find((item) => item.label === "Open a field folder…");
    noted.picks.push(first);
    open!.click!();
    await expect.poll(folder).toBe(first);
  });
});

describe("opening another folder", () => {
  const page = { senderFrame: { url: HOME } };
  const show = (path: string) => noted.channels.get("loftmark:show-folder")!(page, path) as Promise<void>;

  it("waits for the page's last save: the folder before takes it, and is closed once its page has gone on", async () => {
    await show(first);
    const before = shownId();
    const save = { session: freshSession("last words"), baseRevision: "none" };
    const asked = new Promise<number>((resolve) => {
      noted.page = (_channel, question) => resolve(Number(question));
    });
    const opened = show(second);
    const question = await asked;
    expect(await folder()).toBe(first);
    const put = { ...json(save), method: "PUT" };
    expect((await ask(`${HOME}api/folders/${before}/session`, put)).status).toBe(200);
    answer(question, null);
    await opened;
    expect(await folder()).toBe(second);
    await expect.poll(openIds).toEqual([shownId()]);
    expect((await ask(`${HOME}api/folders/${before}/session`, put)).status).toBe(410);
    expect(await readFile(join(first, "loftmark.json"), "utf8")).toContain("last words");
    expect(existsSync(join(second, "loftmark.json"))).toBe(false);
    answering();
  });

  it("asks the person when the save fails: they stay with their folder, or leave and keep the unsaved note", async () => {
    await show(second);
    unsaved = { code: "disk-full", cause: "The disk is full.", remedy: "Make room." };
    const id = shownId();
    noted.answers.push(0, 1);
    await show(first);
    expect([await folder(), await openIds()]).toEqual([second, [id]]);
    expect(noted.questions[0]).toMatchObject({
      message: "The disk is full.",
      detail:
        "Make room. If you leave, Loftmark keeps them on this computer and brings them back with the folder.",
      buttons: ["Stay", "Leave"],
    });
    await show(first);
    expect(await folder()).toBe(first);
    expect(noted.questions).toHaveLength(2);
  });

  it("goes through folders dropped at once one after the other, and ends at the last", async () => {
    await Promise.all([show(second), show(first), show(second)]);
    expect(await folder()).toBe(second);
    await expect.poll(openIds).toEqual([shownId()]);
  });

  it("asks before the page leaves by itself with something unsaved, and holds it back unless told to", () => {
    const { webContents } = noted.windows[0]!;
    const goes = (pressed: number) => {
      noted.answers.push(pressed);
      const event = { preventDefault: vi.fn() };
      webContents.emit("will-prevent-unload", event);
      return event.preventDefault.mock.calls.length === 1;
    };
    expect([goes(0), goes(1)]).toEqual([false, true]);
    expect(noted.questions[0]!.message).toBe("Your last changes are not saved in the folder.");
  });
});

describe("quitting", () => {
  it("is held back while a save fails and the person stays, by the menu and by the window's own button", async () => {
    unsaved = { code: "disk-full", cause: "The disk is full.", remedy: "Make room." };
    app.quit();
    await expect.poll(() => noted.questions).toHaveLength(1);
    noted.windows[0]!.close();
    await expect.poll(() => noted.questions).toHaveLength(2);
    await new Promise((resolve) => setImmediate(resolve));
    expect([noted.exits, noted.windows[0]!.destroyed]).toEqual([[], false]);
    expect((await ask(`${HOME}api/folders/${shownId()}/clips`)).status).toBe(200);
  });

  it("waits for the page's last save, then closes the folder and goes on by itself", async () => {
    const id = shownId();
    const asked = new Promise<number>((resolve) => {
      noted.page = (_channel, question) => resolve(Number(question));
    });
    app.quit();
    const question = await asked;
    expect(noted.exits).toEqual([]);
    const put = { ...json({ session: freshSession("good night"), baseRevision: "none" }), method: "PUT" };
    expect((await ask(`${HOME}api/folders/${id}/session`, put)).status).toBe(200);
    answer(question, null);
    await expect.poll(() => noted.exits).toEqual([0]);
    expect(noted.windows[0]!.destroyed).toBe(true);
    expect((await ask(`${HOME}api/folders/${id}/clips`)).status).toBe(410);
    expect(await readFile(join(second, "loftmark.json"), "utf8")).toContain("good night");
  });
});
