import { mkdir, readdir } from "node:fs/promises";
import { join } from "node:path";
import type { Browser, Page } from "playwright-core";
import { exampleSession } from "../../src/main/example/example-session.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import { startWebHost } from "../../src/main/web.ts";
import { measureShot } from "../../src/shared/measure/measure-shot.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, type Figure, median, ms, percentile, spread } from "./figures.ts";
import { fitShot, withMarkMoved } from "./fit-shot.ts";
import { KERNEL, kernelMs } from "./kernel.ts";

const FIT_MS = 500;
const LARGE_FRAMES = 5000;
const LARGE_FIT_MS = 2000;
const REFIT_MS = 60;
const WARM_UP = 6;
const KERNEL_RUNS = 5;
const REFITS_A_ROUND = 6;

export interface FitField {
  readonly ffmpegPath: string;
  readonly rendererDir: string;
  readonly rounds: number;
}

/**
 * The fit: a made-up shot of 500 frames by 4 points measured with its full budget here, and measured again in
 * the page's own worker after one mark was moved; and one of 5000 frames here. Each by turns with the
 * reference kernel, run in the same process: here, and in the page.
 * @throws Error when a measurement is missing, or a refit did not follow the mark
 */
export async function benchFit(field: FitField, browser: Browser): Promise<BenchPart> {
  const made = fitShot();
  const here = fullFits(made, field.rounds);
  const large = fullFits(fitShot(LARGE_FRAMES), field.rounds);
  const there = await inWorkerPage(field, browser, async (page, worker) => ({
    made: await refits(page, worker, made, field.rounds),
    example: await refits(page, worker, exampleSession(1), field.rounds),
  }));
  const kernels = (all: readonly Turn[]) =>
    spread(
      all.map(({ ms: own, kernel }) => own / kernel),
      oneDecimal,
    );
  const wall = here.map((turn) => turn.ms);
  const cpu = here.map((turn) => turn.cpuMs);
  const refit = (what: string, all: readonly Turn[]): readonly Figure[] => {
    const times = all.map((turn) => turn.ms);
    const middle = median(times);
    return [
      {
        what: `moved mark to quick result, ${what}`,
        value: `${spread(times, ms)}, 95th percentile ${ms(percentile(times, 0.95))}`,
        target: { text: `median < ${REFIT_MS} ms`, met: middle < REFIT_MS },
      },
      { what: "  in reference kernels of the page", value: kernels(all), target: null },
    ];
  };
  return {
    title:
      "The fit: 500 frames by 4 points with the full budget in Node; again after one mark moved, in the page's worker",
    figures: [
      {
        what: "full measurement, wall time",
        value: spread(wall, ms),
        target: { text: `median < ${FIT_MS} ms`, met: median(wall) < FIT_MS },
      },
      { what: "  processor time", value: spread(cpu, ms), target: null },
      { what: "  in reference kernels, wall time", value: kernels(here), target: null },
      {
        what: "  in reference kernels, processor time",
        value: spread(
          here.map((turn) => turn.cpuMs / turn.kernelCpuMs),
          oneDecimal,
        ),
        target: null,
      },
      {
        what: `full measurement, ${4 * LARGE_FRAMES} marks, wall time`,
        value: spread(
          large.map((turn) => turn.ms),
          ms,
        ),
        target: {
          text: `median < ${LARGE_FIT_MS} ms`,
          met: median(large.map((turn) => turn.ms)) < LARGE_FIT_MS,
        },
      },
      { what: "  in reference kernels, wall time", value: kernels(large), target: null },
      ...refit("500 frames by 4 points", there.made),
      ...refit("the example's shot", there.example),
    ],
    notes: [
      `${here.length} rounds after ${WARM_UP} in Node, ${there.made.length} moved marks after ${WARM_UP} in the page, by turns with the kernel`,
      `the kernel is ${KERNEL}: ${ms(median(here.map(({ kernel }) => kernel)))} in Node, ${ms(median(there.made.map(({ kernel }) => kernel)))} in the page`,
      `${made.shots[0]?.marks.length} marks; ${exampleSession(1).shots[0]?.marks.length} in the example, whose result holds prediction and comparison too`,
      "the page's time has the messages to its worker and back in it",
    ],
  };
}

interface Turn {
  readonly ms: number;
  readonly kernel: number;
}

interface TurnHere extends Turn {
  readonly cpuMs: number;
  readonly kernelCpuMs: number;
}

function cpuMs({ user, system }: NodeJS.CpuUsage): number {
  return (user + system) / 1000;
}

function fullFits(session: Session, rounds: number): readonly TurnHere[] {
  const turn = () => {
    const [from, cpu] = [performance.now(), process.cpuUsage()];
    const { measurement } = measureShot(session, "shot-1", null);
    const tookMs = performance.now() - from;
    const used = process.cpuUsage(cpu);
    const sources = new Set(measurement?.budget.launchAngle?.map((line) => line.source));
    const asked = ["marks", "lens", "plane", "plumb"] as const;
    if (!asked.every((source) => sources.has(source))) {
      throw new Error(
        `The made-up shot was not measured in full; its budget holds ${[...sources].join(", ")}.`,
      );
    }
    const kernelFrom = process.cpuUsage();
    const kernel = kernelMs(KERNEL_RUNS);
    const kernelUsed = cpuMs(process.cpuUsage(kernelFrom)) / KERNEL_RUNS;
    return { ms: tookMs, cpuMs: cpuMs(used), kernel, kernelCpuMs: kernelUsed };
  };
  for (let run = 0; run < WARM_UP; run++) turn();
  return Array.from({ length: rounds }, turn);
}

/**
 * Gives `work` a page of a new host on an empty folder, which measures nothing by itself, and the
 * address of the page's worker.
 */
function inWorkerPage<T>(
  { ffmpegPath, rendererDir }: FitField,
  browser: Browser,
  work: (page: Page, worker: string) => Promise<T>,
): Promise<T> {
  return inNewFolder(async (root) => {
    const [folder, cacheDir] = [join(root, "field"), join(root, "cache")];
    await mkdir(folder);
    const file = (await readdir(join(rendererDir, "assets"))).find((name) =>
      /^measure-worker-.*\.js$/.test(name),
    );
    if (file === undefined) throw new Error("The built page has no measuring worker.");
    const host = await startWebHost({
      folder,
      media: createMedia({ ffmpegPath, cacheDir }),
      cacheDir,
      rendererDir,
    });
    const context = await browser.newContext();
    try {
      const page = await context.newPage();
      await page.goto(host.url);
      return await work(page, `/assets/${file}`);
    } finally {
      await context.close();
      await host.close();
    }
  });
}

/** Measures in full, then again and again with another mark moved each time. */
async function refits(
  page: Page,
  workerUrl: string,
  session: Session,
  rounds: number,
): Promise<readonly Turn[]> {
  const shot = session.shots[0]!;
  await page.evaluate((url) => {
    window.benchWorker?.terminate();
    window.benchWorker = new Worker(url, { type: "module" });
  }, workerUrl);
  const full = await asked(page, session, shot.id, "full");
  const count = WARM_UP + rounds * REFITS_A_ROUND;
  const turns: (Turn & { readonly speed: number })[] = [];
  for (let i = 0; i < count; i++) {
    const moved = withMarkMoved(session, Math.floor(((i + 0.5) / count) * shot.marks.length));
    const { ms: tookMs, speed } = await asked(page, moved, shot.id, "quick");
    turns.push({ ms: tookMs, speed, kernel: await page.evaluate(kernelMs, KERNEL_RUNS) });
  }
  const kept = turns.slice(WARM_UP);
  if (new Set([full.speed, ...kept.map(({ speed }) => speed)]).size < kept.length / 2) {
    throw new Error("The quick result did not follow the moved marks.");
  }
  return kept;
}

/**
 * One request to the page's worker. @returns ms in the page until its answer was there, and the speed in it
 */
function asked(
  page: Page,
  session: Session,
  shotId: string,
  how: "quick" | "full",
): Promise<{ readonly ms: number; readonly speed: number }> {
  return page.evaluate(
    (request) =>
      new Promise<{ ms: number; speed: number }>((resolve, reject) => {
        const worker = window.benchWorker!;
        const from = performance.now();
        worker.onerror = (event) => reject(new Error(event.message || "the worker did not start"));
        worker.onmessage = ({ data }) => {
          const tookMs = performance.now() - from;
          const speed = data.result?.measurement?.quantities.releaseSpeed?.value;
          if (speed === undefined) reject(new Error(data.message ?? "nothing was measured"));
          else resolve({ ms: tookMs, speed });
        };
        worker.postMessage({ request, memories: [] });
      }),
    { session, shotId, facts: null, how, refused: null },
  );
}

declare global {
  interface Window {
    /** the page's measuring worker, started for the bench */
    benchWorker: Worker | undefined;
  }
}

function oneDecimal(value: number): string {
  return value.toFixed(1);
}
