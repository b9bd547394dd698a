import { spawn, spawnSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { buildIfStale } from "./build-if-stale.mjs";
import { ensurePrograms } from "./setup.mjs";

/*
 * A new example launch in a window of its own, as a person would have it, and pictures of it. Nothing is
 * drawn or retouched; the colours are only reduced to a palette, to keep the files small.
 */

/** @typedef {import("playwright-core").Page} Page */
/** @typedef {{ x: number, y: number, width: number, height: number }} Box */

const ROOT = dirname(dirname(fileURLToPath(import.meta.url)));
export const PROGRAM = join(ROOT, "out", "main", "cli.js");
export const PICTURES = join(ROOT, "docs", "pictures");
const COLOURS = [256, 208, 160, 128];

const { ok, found } = ensurePrograms(["ffmpeg", "chromium"]);
const { ffmpeg, chromium: browserProgram } = found;
if (!ok || ffmpeg === null || browserProgram === null || !buildIfStale()) process.exit(1);
const ffmpegPath = ffmpeg.path;
const browserPath = browserProgram.path;

/**
 * @typedef {object} ExampleWindow
 * @property {Page} page open on the example, whose results are not waited for
 * @property {string} url where it is opened anew
 * @property {string} folder the field folder of the example
 * @property {NodeJS.ProcessEnv} env for the command line, so that it shares the host's cache
 */

/**
 * Makes the example launch, opens it in a browser and gives it to whoever takes pictures of it; then removes
 * it.
 * @param {{ width: number, height: number }} viewport css px
 * @param {(window: ExampleWindow) => Promise<void>} take
 * @param {(folder: string) => void} [prepare] changes the folder before it is opened
 */
export async function withExample(viewport, take, prepare) {
  const folder = join(mkdtempSync(join(tmpdir(), "loftmark-pictures-")), "spring-meadow");
  const [cache, data] = [join(dirname(folder), "cache"), join(dirname(folder), "data")];
  const env = { ...process.env, LOFTMARK_CACHE: cache, LOFTMARK_DATA: data };
  try {
    const made = spawnSync(process.execPath, [PROGRAM, "example", "--out", folder], {
      env,
      stdio: ["ignore", 2, 2],
    });
    if (made.status !== 0) throw new Error("The example launch could not be made.");
    prepare?.(folder);
    const host = await serve(folder, env);
    const browser = await chromium.launch({
      executablePath: browserPath,
      chromiumSandbox: process.getuid?.() !== 0, // Chromium refuses its sandbox to root
      args: ["--disable-dev-shm-usage", "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"],
    });
    try {
      const page = await browser.newPage({ viewport, deviceScaleFactor: 1, colorScheme: "light" });
      page.setDefaultTimeout(60_000);
      await page.goto(host.url);
      await take({ page, url: host.url, folder, env });
    } finally {
      await browser.close();
      host.stop();
    }
  } finally {
    // the host may still be writing
    rmSync(dirname(folder), { recursive: true, force: true, maxRetries: 20, retryDelay: 200 });
  }
}

/**
 * Starts the loopback host on the example.
 * @param {string} folder
 * @param {NodeJS.ProcessEnv} env
 * @returns {Promise<{ url: string, stop: () => void }>}
 */
async function serve(folder, env) {
  const child = spawn(process.execPath, [PROGRAM, "serve", folder], {
    env,
    stdio: ["ignore", "pipe", "inherit"],
  });
  const ended = new Promise((_, reject) => {
    child.once("error", reject);
    child.once("exit", (code) => reject(new Error(`The host ended with ${code}.`)));
  });
  ended.catch(() => {}); // told to whoever waits for the address; afterwards it is meant to end
  const said = new Promise((resolve) => {
    createInterface({ input: child.stdout }).on("line", (line) => {
      const url = /http:\/\/127\.0\.0\.1:\S+/.exec(line)?.[0];
      if (url !== undefined) resolve(url);
    });
  });
  return { url: await Promise.race([said, ended]), stop: () => child.kill("SIGTERM") };
}

/**
 * Opens a heading of the ledger and waits until everything stands still.
 * @param {Page} page
 * @param {string} step
 */
export async function lookAt(page, step) {
  const button = page.locator(`[data-step=${step}] h2 button`);
  if ((await button.getAttribute("aria-expanded")) === "false") await button.click();
  await page.mouse.move(2, 2);
  await atRest(page);
}

/** Waits until results, picture and thumbnails are there and no work is shown. @param {Page} page */
export async function atRest(page) {
  await page.waitForTimeout(700); // work is shown only once it has taken half a second
  await page.locator("[aria-label='Headline results'][aria-busy=false]").waitFor();
  await page.locator(".frame-says .late").waitFor({ state: "detached" });
  await page.waitForFunction(() => document.querySelector(".jobs .job") === null);
  await page.waitForFunction(() => [...document.images].every((image) => image.complete));
  await page.evaluate(() => document.fonts.ready);
  await page.waitForTimeout(200); // figures are drawn when their width has been observed
}

/**
 * Takes a picture of the page, or of a part of it, in the most colours that keep it small, and says how large
 * it became.
 * @param {Page} page
 * @param {string} into the file, a PNG
 * @param {number} mostBytes
 * @param {Box} [clip]
 */
export async function takePicture(page, into, mostBytes, clip) {
  const scratch = mkdtempSync(join(tmpdir(), "loftmark-picture-"));
  try {
    const raw = join(scratch, "raw.png");
    await page.screenshot({ path: raw, animations: "disabled", caret: "hide", ...(clip && { clip }) });
    for (const colours of COLOURS) {
      const reduced = reducedTo(colours, raw);
      const { size } = statSync(reduced);
      if (size > mostBytes) continue;
      mkdirSync(dirname(into), { recursive: true });
      copyFileSync(reduced, into);
      console.log(`${basename(into)}  ${Math.round(size / 1000)} kB, ${colours} colours`);
      return;
    }
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
  throw new Error(`${into} is larger than ${mostBytes} bytes: take a smaller part of the window.`);
}

/**
 * The same picture with a palette of so many colours.
 * @param {number} colours
 * @param {string} raw
 */
function reducedTo(colours, raw) {
  const reduced = `${raw}.reduced.png`;
  const palette = `[a]palettegen=max_colors=${colours}:reserve_transparent=0[p]`;
  const graph = `split[a][b];${palette};[b][p]paletteuse=dither=none`;
  const packing = ["-compression_level", "100", "-pred", "mixed"];
  const args = ["-v", "error", "-y", "-i", raw, "-filter_complex", graph, ...packing, reduced];
  if (spawnSync(ffmpegPath, args, { stdio: ["ignore", 2, 2] }).status !== 0) {
    throw new Error(`${raw} could not be reduced to ${colours} colours.`);
  }
  return reduced;
}

/**
 * One picture of many at half their size, as WebP, with loss.
 * @param {readonly { picture: string, x: number, y: number }[]} parts with px on the sheet
 * @param {string} into
 */
export function keepSheet(parts, into) {
  const halves = parts.map((_, i) => `[${i}]scale=iw/2:-1:flags=area[h${i}]`).join(";");
  const layout = parts.map(({ x, y }) => `${x}_${y}`).join("|");
  const names = parts.map((_, i) => `[h${i}]`).join("");
  const graph = `${halves};${names}xstack=inputs=${parts.length}:layout=${layout}:fill=0x8a8a86`;
  const files = parts.flatMap(({ picture }) => ["-i", picture]);
  const args = ["-v", "error", "-y", ...files, "-filter_complex", graph, "-c:v", "libwebp", "-quality", "55"];
  if (spawnSync(ffmpegPath, [...args, into], { stdio: ["ignore", 2, 2] }).status !== 0) {
    throw new Error(`${into} could not be made of ${parts.length} pictures: this ffmpeg may lack libwebp.`);
  }
}
