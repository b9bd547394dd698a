import { execFile } from "node:child_process";
import { copyFile, mkdir, readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { promisify } from "node:util";
import type { Browser, Page } from "playwright-core";
import { createMedia } from "../../src/main/media/create-media.ts";
import { startWebHost } from "../../src/main/web.ts";
import { copiedAirframe } from "../../src/shared/session/fresh.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { shotsField } from "../support/shots-field.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, median, ms, percentile, spread } from "./figures.ts";

const SHOTS = 24;
const PRESSURES = [3.2e5, 4e5, 4.9e5, 5.6e5, 6.4e5, 7.1e5]; // Pa; each fired four times
const OPEN_MS = 3000;
const EDIT_MS = 50;
const EDITS = 20;
const EARLIER = { seed: 11, pressures: [3.6e5, 5.2e5] }; // an outing of two shots a week before
const TUNED = ["shot-1", "shot-3", "shot-5", "outing-1:shot-1", "outing-1:shot-2"];
const PARAMETERS = "valve.conductance,slidingN";
const PATIENCE_MS = 300_000;

interface Parts {
  /** The built command line. */
  readonly program: string;
  readonly ffmpegPath: string;
  readonly rendererDir: string;
  readonly rounds: number;
}

/**
 * Opens a day of 24 marked shots of two airframes and two launchers, with an earlier outing named, until
 * every row of its table has its release speed: once with nothing kept, then with the results kept of that
 * time, each time by a new host and a new browser context. Then names and pressures are changed in the table,
 * again and again, all curves are laid over each other, and a launcher is tuned across both outings.
 */
export function benchDay(parts: Parts, browser: Browser): Promise<BenchPart> {
  const { program, ffmpegPath, rendererDir, rounds } = parts;
  return inNewFolder(async (root) => {
    const [folder, earlier, cacheDir] = [join(root, "field"), join(root, "earlier"), join(root, "cache")];
    for (const made of [folder, earlier]) await mkdir(made);
    await shotsField(EARLIER.seed, EARLIER.pressures).write(earlier, ffmpegPath);
    await writeDay(folder, ffmpegPath);
    const env = { ...process.env, LOFTMARK_CACHE: cacheDir, LOFTMARK_DATA: join(root, "data") };
    const run = (...args: readonly string[]) =>
      promisify(execFile)(process.execPath, [program, ...args], { env, maxBuffer: 2 ** 26 });
    await run("outings", folder, "--add", earlier);
    const opened = async <T>(work: (page: Page) => Promise<T>) => {
      const media = createMedia({ ffmpegPath, cacheDir });
      const host = await startWebHost({ folder, media, cacheDir, rendererDir });
      const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
      context.setDefaultTimeout(PATIENCE_MS);
      try {
        const page = await context.newPage();
        const began = performance.now();
        await page.goto(host.url);
        await untilTable(page);
        return { tookMs: performance.now() - began, more: await work(page) };
      } finally {
        await context.close();
        await host.close();
      }
    };
    const first = await opened(async (page) => {
      await page.waitForSelector("[data-measuring=settled]");
      await page.waitForLoadState("networkidle"); // the last result is on its way to be kept
    });
    const again: number[] = [];
    for (let round = 0; round < rounds; round++) again.push((await opened(async () => {})).tookMs);
    const { overlayMs, names, pressures } = (
      await opened(async (page) => ({
        names: await edit(page, "name", (i) => `Renamed ${i}`),
        pressures: await edit(page, "pressure", (i) => (4 + i * 0.013).toFixed(3)),
        overlayMs: await overlay(page),
      }))
    ).more;
    const began = performance.now();
    await run(
      "tune",
      folder,
      "--launcher",
      "launcher-1",
      "--parameters",
      PARAMETERS,
      "--shots",
      TUNED.join(),
    );
    const tuneMs = performance.now() - began;
    return {
      title: `A day of ${SHOTS} shots, until every row of its table has its release speed, Chromium`,
      figures: [
        {
          what: "results kept",
          value: spread(again, ms),
          target: { text: `<= ${OPEN_MS} ms`, met: median(again) <= OPEN_MS },
        },
        {
          what: "nothing kept: every clip listed and read, every shot measured",
          value: ms(first.tookMs),
          target: null,
        },
        editFigure("a name changed in the table, key press to the frame that shows it", names),
        editFigure("a pressure changed there, while shots are measured again", pressures),
        { what: "all curves laid over each other, press to figure", value: ms(overlayMs), target: null },
        {
          what: `\`tune\` on ${TUNED.length} shots of both outings, measured and fitted`,
          value: ms(tuneMs),
          target: null,
        },
      ],
      notes: [
        `${rounds} rounds of opening, then ${EDITS} changes each; marks of six clips, each used four times under names of its own`,
        "from navigation, a new host each time: page, session, clips, facts and fingerprints from the cache, results by their keys",
      ],
    };
  });
}

/** Six clips of one ram drawn and marked, each four times in the folder. */
async function writeDay(folder: string, ffmpegPath: string): Promise<void> {
  await shotsField(7, PRESSURES).write(folder, ffmpegPath);
  const file = join(folder, "loftmark.json");
  const session = JSON.parse(await readFile(file, "utf8")) as Session;
  const [airframe, launcher] = [session.airframes[0]!, session.launchers[0]!];
  const other = copiedAirframe(session, airframe);
  const own = session.points.filter(({ airframeId }) => airframeId === airframe.id);
  const copyOf = new Map(own.map(({ id }, i) => [id, other.points[i]!.id]));
  const shots = await Promise.all(
    Array.from({ length: SHOTS }, async (_, i) => {
      const from = session.shots[i % PRESSURES.length]!;
      const id = `shot-${i + 1}`;
      const clip = `${id}.mp4`;
      if (clip !== from.clip) await copyFile(join(folder, from.clip!), join(folder, clip));
      const shot = { ...from, id, name: `Shot ${i + 1}`, clip };
      if (i % 2 === 0) return shot;
      const marks = shot.marks.map((mark) => ({
        ...mark,
        pointId: copyOf.get(mark.pointId) ?? mark.pointId,
      }));
      return { ...shot, airframeId: other.airframe.id, launcherId: "launcher-2", marks };
    }),
  );
  const day: Session = {
    ...session,
    airframes: [airframe, other.airframe],
    launchers: [
      { ...launcher, id: "launcher-1" },
      { ...launcher, id: "launcher-2", name: "Second ram" },
    ],
    points: [...session.points, ...other.points],
    shots: shots.map((shot) => ({
      ...shot,
      launcherId: shot.launcherId === "launcher-2" ? "launcher-2" : "launcher-1",
    })),
  };
  await writeFile(file, JSON.stringify(day));
}

function editFigure(what: string, took: readonly number[]): BenchPart["figures"][number] {
  const slowest = percentile(took, 0.95);
  return {
    what,
    value: `95th percentile ${ms(slowest)}, median ${ms(median(took))}`,
    target: { text: `<= ${EDIT_MS} ms`, met: slowest <= EDIT_MS },
  };
}

async function untilTable(page: Page): Promise<void> {
  await page.getByRole("button", { name: "The day" }).click();
  await page.waitForFunction((count) => {
    const speeds = [...document.querySelectorAll("td[data-column=release-speed]")];
    return speeds.length === count && speeds.every((cell) => cell.textContent !== "");
  }, SHOTS + EARLIER.pressures.length);
}

/** @returns ms from the press until the figure with every curve stands below the table */
async function overlay(page: Page): Promise<number> {
  const began = performance.now();
  await page.getByRole("button", { name: "Choose all" }).click();
  await page.locator(".day-figures figure svg").nth(1).waitFor();
  return performance.now() - began;
}

/** @returns ms from each press of Enter until the frame with the new value was handed over */
async function edit(page: Page, column: string, value: (i: number) => string): Promise<readonly number[]> {
  const took: number[] = [];
  for (let i = 0; i < EDITS; i++) {
    await page.locator(`td[data-column=${column}]`).nth(i).focus();
    await page.keyboard.type(value(i));
    await page.evaluate(() => {
      window.addEventListener(
        "keydown",
        () => {
          const pressed = performance.now();
          requestAnimationFrame(() => {
            const handedOver = new MessageChannel();
            handedOver.port1.onmessage = () => {
              window.benchEditMs = performance.now() - pressed;
            };
            handedOver.port2.postMessage(null);
          });
        },
        { capture: true, once: true },
      );
      window.benchEditMs = undefined;
    });
    await page.keyboard.press("Enter");
    took.push((await (await page.waitForFunction(() => window.benchEditMs)).jsonValue()) as number);
  }
  return took;
}

declare global {
  interface Window {
    benchEditMs: number | undefined;
  }
}
