import { existsSync } from "node:fs";
import { mkdtemp, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
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
  vi.spyOn(process, "argv", "get").mockReturnValue(["electron", "app", "--some-switch", first]);
  await import(/* @vite-ignore */ BUNDLE);
  await vi.waitFor(() => expect([noted.windows[0]?.urls, noted.errors]).toEqual([[HOME], []]), 10_000);
});

beforeEach(() => {
  noted.errors.length = 0;
  noted.picks.length = 0;
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
    await vi.waitFor(async () => expect(await folder()).toBe(second));
    expect(noted.windows[0]!.focused).toBe(1);
    app.emit("second-instance", {}, ["electron", "app", "first-not-there"], home);
    await vi.waitFor(() => expect(noted.errors[0]?.[0]).toContain("There is no folder"));
    expect(await folder()).toBe(second);
  });
});

async function folder(): Promise<string> {
  return ((await (await ask(`${HOME}host/info`)).json()) as { folder: string }).folder;
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
    await ask(`${HOME}host/open`, json({ path: first }));
    const info = await ask(`${HOME}host/info`, { headers: { origin: "loftmark://app" } });
    expect(await info.json()).toEqual({ host: "electron", folder: first, canPickFolder: true });
    const { clips } = (await (await ask(`${HOME}api/clips`)).json()) as { clips: { name: string }[] };
    expect(clips.map((clip) => clip.name)).toEqual(["one.mp4"]);
    const inspect = await ask(`${HOME}api/jobs`, json({ kind: "inspect", clip: "one.mp4" }));
    expect(inspect.status).toBe(201);
    expect((await ask(`${HOME}api/session`, { method: "PUT", body: "{}" })).status).toBe(415);
  });
});

describe("what the preload may ask", () => {
  const page = { senderFrame: { url: HOME } };

  it("is three things, and only for the page itself", () => {
    expect([...noted.channels.keys()].sort()).toEqual([
      "loftmark:pick-folder",
      "loftmark:save-pdf",
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
    await vi.waitFor(async () =>
      expect(JSON.parse(await readFile(join(home, "data", "recent.json"), "utf8"))).toEqual({
        folder: second,
      }),
    );
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
    await vi.waitFor(async () => expect(await folder()).toBe(first));
  });
});

describe("quitting", () => {
  it("waits until the host has closed, and then quits", async () => {
    const quits = noted.exits.length;
    const event = { preventDefault: vi.fn() };
    app.emit("before-quit", event);
    expect([event.preventDefault.mock.calls.length, noted.exits.length]).toEqual([1, quits]);
    await vi.waitFor(() => expect(noted.exits.slice(quits)).toEqual([0]));
    app.emit("before-quit", event);
    expect(event.preventDefault).toHaveBeenCalledOnce();
  });
});
