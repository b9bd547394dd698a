import { copyFile, mkdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright-core";
import { createMedia } from "../../src/main/media/create-media.ts";
import { startWebHost } from "../../src/main/web.ts";
import { freshSession, freshShot } from "../../src/shared/session/fresh.ts";
import type { Session, Shot } from "../../src/shared/session/schema.ts";
import { CLIP_NAME } from "./bench-clip.ts";
import { type BenchField, inNewFolder } from "./field.ts";

const PATIENCE_MS = 60_000;

/** Opens a Chromium with nothing but this machine to talk to. */
export function openBrowser(chromiumPath: string): Promise<Browser> {
  return chromium.launch({
    executablePath: chromiumPath,
    chromiumSandbox: process.getuid?.() !== 0, // Chromium refuses its sandbox to root
    args: ["--disable-dev-shm-usage", "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"],
  });
}

/**
 * Gives `work` a page that has just been sent to a new loopback host on a field folder with the clip and this
 * shot: empty frame cache, empty browser cache, nothing known of the clip.
 */
export function inNewWindow<T>(
  field: BenchField,
  browser: Browser,
  shot: Shot,
  work: (page: Page) => Promise<T>,
): Promise<T> {
  return inNewFolder(async (root) => {
    const [folder, cacheDir] = [join(root, "field"), join(root, "cache")];
    await mkdir(folder);
    await writeFile(join(folder, "loftmark.json"), JSON.stringify(sessionOf(shot)));
    await copyFile(field.clip, join(folder, CLIP_NAME));
    const media = createMedia({ ffmpegPath: field.ffmpegPath, cacheDir });
    const host = await startWebHost({ folder, media, cacheDir, rendererDir: field.rendererDir });
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    try {
      const page = await context.newPage();
      await page.addInitScript(watchFrames);
      await page.goto(host.url);
      return await work(page);
    } finally {
      await context.close();
      await host.close();
    }
  });
}

/** A shot of the bench's clip with nothing marked: the window opens it at frame 0. */
export function newShot(): Shot {
  return freshShot("shot-1", "Shot 1", CLIP_NAME);
}

/**
 * The same shot half way through its marking, scale and plumb drawn, marks of both points in frames from..to.
 */
export function markedShot(from: number, to: number): Shot {
  const marks = Array.from({ length: to - from + 1 }, (_, i) => from + i).flatMap((frame) => {
    const [x, y] = [300 + 4 * (frame - from), 700 - 2 * (frame - from)];
    const at = { frame, u: 0.4, by: "hand" as const };
    return [
      { ...at, pointId: "nose", x: x + 160, y },
      { ...at, pointId: "tail", x, y: y + 12 },
    ];
  });
  return {
    ...newShot(),
    clock: { kind: "capture-rate", captureRateHz: { value: 240, u: 0.5 } },
    scale: { a: [200, 900], b: [1500, 905], uPx: 0.5, rodM: { value: 2, u: 0.001 } },
    plumb: { top: [1700, 200], bottom: [1702, 900], uPx: 0.5, hangRad: 0.002 },
    marks,
  };
}

/** ms from the navigation until each of these was so. */
export interface Opening {
  /** the clip was known, and its first picture asked for */
  readonly askedMs: number;
  /** that picture had come */
  readonly cameMs: number;
  /** the frame that shows it was handed over to be shown */
  readonly shownMs: number;
}

/** Waits for the first full-size picture. @throws Error when it does not come within a minute */
export async function firstPicture(page: Page): Promise<Opening> {
  await page.waitForFunction(() => window.benchFirstPictureMs, undefined, { timeout: PATIENCE_MS });
  const opening = await page.evaluate(() => {
    const asked = performance
      .getEntriesByType("resource")
      .find(({ name }) => /\/frames\/\d+\?.*size=full/.test(name)) as PerformanceResourceTiming | undefined;
    return {
      askedMs: asked?.startTime ?? Number.NaN,
      cameMs: asked?.responseEnd ?? Number.NaN,
      shownMs: window.benchFirstPictureMs ?? Number.NaN,
    };
  });
  if (!Object.values(opening).every(Number.isFinite))
    throw new Error("The page asked for no full-size picture.");
  return opening;
}

function sessionOf(shot: Shot): Session {
  return { ...freshSession("bench"), shots: [shot] };
}

declare global {
  interface Window {
    benchFirstPictureMs: number | undefined;
    /** of each key press, ms from the start of its handling until the next frame was handed over */
    benchHandedOverMs: number[];
  }
}

/**
 * Runs in the page before its own scripts. A frame is handed over when a task that was posted in its
 * animation callback gets its turn: layout and painting lie between the two.
 */
function watchFrames(): void {
  const { port1, port2 } = new MessageChannel();
  const waiting: (() => void)[] = [];
  port1.onmessage = () => waiting.shift()?.();
  const afterFrame = (done: () => void) =>
    requestAnimationFrame(() => {
      waiting.push(done);
      port2.postMessage(null);
    });
  const look = () => {
    if (performance.getEntriesByName("first-picture").length === 0) requestAnimationFrame(look);
    else {
      waiting.push(() => {
        window.benchFirstPictureMs = performance.now();
      });
      port2.postMessage(null);
    }
  };
  requestAnimationFrame(look);
  window.benchHandedOverMs = [];
  window.addEventListener(
    "keydown",
    () => {
      const from = performance.now();
      afterFrame(() => window.benchHandedOverMs.push(performance.now() - from));
    },
    { capture: true },
  );
}
