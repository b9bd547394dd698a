import { cp, mkdtemp, readFile, realpath, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, inject } from "vitest";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import type { Media } from "../../src/main/media/media.ts";
import { createKeptMeasurements } from "../../src/main/service/kept-measurements.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createRecentFolders } from "../../src/main/store/recent-folders.ts";
import { createSessionFile } from "../../src/main/store/session-file.ts";
import { startWebHost, type WebHost } from "../../src/main/web.ts";
import { BUDGET_MS } from "../../src/renderer/workers/budgeted-worker.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../tools/find-program.mjs";

/** The browser, the ffmpeg, the example launch and the cache of its frames that all files share. */
export interface Field {
  readonly browser: Browser;
  readonly example: string;
  readonly cacheDir: string;
  readonly ffmpegPath: string;
  readonly media: Media;
  close(): Promise<void>;
}

/** Takes up what `one-browser.ts` made before the first test. */
export async function openField(): Promise<Field> {
  const browser = await chromium.connect(inject("browserAt"));
  const ffmpegPath = findFfmpeg()!.path;
  const cacheDir = inject("frameCache");
  return {
    browser,
    example: inject("exampleFolder"),
    cacheDir,
    ffmpegPath,
    media: createMedia({ ffmpegPath, cacheDir }),
    close: () => browser.close(), // this file's part of it: its contexts
  };
}

/**
 * After so long the page will never be as a test waits for; a machine under load takes its own time until
 * then.
 */
const HUNG_MS = 5 * 60_000;

/** One person at one window on a field folder of their own. */
export interface Person {
  readonly page: Page;
  readonly folder: string;
  readonly host: WebHost;
  /**
   * Messages on the console that are warnings or errors, uncaught exceptions, and requests that left the
   * host.
   */
  readonly complaints: readonly string[];
  /** A second host of the same person, on another folder; whoever starts it closes it. */
  startAgain(folder: string): Promise<WebHost>;
  /** The session as it is in the folder now. */
  saved(): Promise<Session>;
  leave(): Promise<void>;
}

export interface Sitting {
  /** Only the clip lies in the folder. */
  readonly bare?: boolean;
  /** Nobody has measured it before. */
  readonly unmeasured?: boolean;
  readonly size?: { readonly width: number; readonly height: number };
  /** Fills the folder in place of the example. */
  readonly fill?: (folder: string) => Promise<void>;
  /** The filled folder has the example's shot: what it gives is known, as in a copy of the example. */
  readonly holdsExample?: boolean;
  /** What somebody else had changed in the session before. */
  readonly session?: (session: Session) => Session;
}

/**
 * A page in a browser context of its own, whose computations may take as long as this machine needs for them.
 */
export async function newWindow({ browser }: Field, viewport = { width: 1440, height: 900 }): Promise<Page> {
  const context = await browser.newContext({ viewport });
  context.setDefaultTimeout(HUNG_MS);
  await context.addInitScript((budgetMs) => {
    const later = window.setTimeout.bind(window);
    const patiently = (run: () => void, ms?: number) => later(run, ms === budgetMs ? 2 ** 31 - 1 : ms);
    window.setTimeout = patiently as typeof window.setTimeout;
  }, BUDGET_MS);
  return context.newPage();
}

/**
 * Copies the example into a folder of its own, serves it on a loopback host and opens the page in a new
 * context.
 */
export async function sitDown(field: Field, sitting: Sitting = {}): Promise<Person> {
  const { bare = false, unmeasured = false, size, fill, session } = sitting;
  const holdsExample = sitting.holdsExample ?? fill === undefined;
  const { media, cacheDir } = field;
  const folder = await realpath(await mkdtemp(join(tmpdir(), "loftmark-field-")));
  if (fill === undefined) await cp(field.example, folder, { recursive: true, preserveTimestamps: true });
  else await fill(folder);
  if (bare) for (const name of ["loftmark.json", "truth.json"]) await rm(join(folder, name));
  if (session !== undefined) {
    const path = join(folder, "loftmark.json");
    await writeFile(path, JSON.stringify(session(JSON.parse(await readFile(path, "utf8")))));
  }
  if (holdsExample && !bare && !unmeasured) await knowResults(field, folder);
  const complaints: string[] = [];
  const startOn = (first: string) =>
    startWebHost({
      folder: first,
      media,
      cacheDir,
      shelfDir: `${folder}-shelf`,
      recent: createRecentFolders(`${folder}-data`),
      rendererDir: join(import.meta.dirname, "../../out/renderer"),
      log: (error) => complaints.push(`host: ${String(error)}`),
    });
  const host = await startOn(folder);
  const page = await newWindow(field, size);
  const context = page.context();
  page.on("console", (message) => {
    if (["warning", "error"].includes(message.type()))
      complaints.push(`console: ${message.text()} ${message.location().url}`);
  });
  page.on("pageerror", (error) => complaints.push(`exception: ${error.message}`));
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(host.origin) && !/^(data|blob):/.test(url)) complaints.push(`request: ${url}`);
  });
  await page.goto(host.url);
  return {
    page,
    folder,
    host,
    complaints,
    startAgain: startOn,
    saved: async () => (await createSessionFile(await openFieldFolder(folder)).read()).session,
    async leave() {
      await context.close();
      await host.close();
      // The page's last save may still be on its way into the folder.
      await rm(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 100 });
      for (const own of ["shelf", "data"]) await rm(`${folder}-${own}`, { recursive: true, force: true });
    },
  };
}

/** Lets a copy of the example be one that was opened before: what is as it was is not measured again. */
async function knowResults({ cacheDir, example }: Field, folder: string): Promise<void> {
  const edition = () => processWorkers().edition();
  const measured = await createKeptMeasurements(cacheDir, await realpath(example), edition).list();
  const kept = createKeptMeasurements(cacheDir, folder, edition);
  await Promise.all(measured.map((one) => kept.keep(one)));
}

/**
 * One person for all tests of a file, who sits down before the first: a page takes seconds to open. Each test
 * goes on from the document as the one before left it; after one that failed the next begins at a new window.
 */
export function oneSitting(sitting?: Sitting): { readonly field: Field; readonly person: Person } {
  let field: Field;
  let person: Person | null = null;
  beforeAll(async () => {
    field = await openField();
  });
  beforeEach(async () => {
    person ??= await sitDown(field, sitting);
  });
  afterEach(async ({ task }) => {
    if (task.result?.state !== "fail") return;
    await person?.leave();
    person = null;
  });
  afterAll(async () => {
    await person?.leave();
    await field?.close();
  });
  return {
    get field() {
      return field;
    },
    get person() {
      if (person === null) throw new RangeError("oneSitting: nobody sits there between the tests");
      return person;
    },
  };
}

/** The text of the file that something the person does hands out. */
export async function handedOut({ page, folder }: Person, act: () => Promise<void>): Promise<string> {
  const download = page.waitForEvent("download");
  await act();
  const path = join(folder, "handed-out");
  await (await download).saveAs(path); // the browser is reached over a socket: it tells no path of its own
  return readFile(path, "utf8");
}

/** Waits until the frame shows its full picture and nothing is being fetched for it. */
export async function seePicture(page: Page): Promise<void> {
  await page.locator(".frame .picture").waitFor({ state: "visible" });
  await page.locator(".frame-says .late").waitFor({ state: "detached" });
}

/** Where a place of the picture lies on the page now, css px. */
export async function onPage(
  page: Page,
  [x, y]: readonly [number, number],
): Promise<{ x: number; y: number }> {
  return page.locator(".frame .picture").evaluate(
    (canvas, [px, py]) => {
      const box = canvas.getBoundingClientRect();
      const scale = box.width / (canvas as HTMLCanvasElement).width;
      return { x: box.left + px * scale, y: box.top + py * scale };
    },
    [x, y] as const,
  );
}

/** Clicks a place of the picture. */
export async function clickPicture(page: Page, place: readonly [number, number]): Promise<void> {
  const { x, y } = await onPage(page, place);
  await page.mouse.move(x, y);
  await page.mouse.click(x, y);
}

/** The number shown for a headline result; null while a dash stands there. */
export async function headline(page: Page, name: string): Promise<number | null> {
  const text = (await page.locator(`[data-headline=${name}] .headline-value`).textContent()) ?? "";
  if (text.trim() === "—") return null;
  return Number(text.split("±")[0]!.trim().replace("−", "-"));
}

/** Waits until the newest changes are in the results. */
export async function untilMeasured(page: Page): Promise<void> {
  await page.locator("[aria-label='Headline results'][aria-busy=false]").waitFor();
}

/** The index of the frame that the window shows. */
export async function frameNow(page: Page): Promise<number> {
  const text = (await page.getByTestId("frame-number").textContent()) ?? "";
  return Number(/\d+/.exec(text)?.[0]);
}

/** Shows a frame, by the keyboard. */
export async function goToFrame(page: Page, frame: number): Promise<void> {
  await page.locator(".frame").focus();
  await page.keyboard.press("Home");
  for (let tens = 0; tens < Math.floor(frame / 10); tens++) await page.keyboard.press("Shift+ArrowRight");
  for (let ones = 0; ones < frame % 10; ones++) await page.keyboard.press("ArrowRight");
}

/** Opens a heading of the ledger if it is closed. */
export async function openHeading(page: Page, step: string): Promise<void> {
  const button = page.locator(`[data-step=${step}] h2 button`);
  if ((await button.getAttribute("aria-expanded")) === "false") await button.click();
}

/** Types a quantity into its field, value and standard uncertainty, and leaves it. */
export async function typeMeasured(page: Page, label: string, value: string, u: string): Promise<void> {
  const group = page.getByRole("group", { name: label, exact: true });
  await group.locator("input").first().fill(value);
  await group.locator("input").last().fill(u);
  await group.locator("input").last().press("Enter");
}

/** Waits until the window says that the document is saved. */
export async function untilSaved(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector("[data-testid=save]")?.textContent === "saved");
}
