import type { Browser, Page } from "playwright-core";
import type { BenchField } from "./field.ts";
import { type BenchPart, median, ms, percentile } from "./figures.ts";
import { firstPicture, inNewWindow, markedShot } from "./window.ts";

const MOST_MS = 16;
const STEPS = 200;
const TURN = 10; // steps one way before turning back: within what is decoded ahead
const REPEAT_MS = 33; // a held arrow key repeats some thirty times a second
const SETTLED_MS = 1500; // no request for this long: everything around the frame is fetched
const MARKED = { from: 60, to: 140 };

/** A key press as the page timed it. */
interface Step {
  readonly drawnMs: number;
  readonly frame: number;
  readonly ready: boolean;
}

/**
 * Walks back and forth with the arrow keys over frames that are decoded ahead, marks, scale
 * and plumb drawn over them.
 * @throws Error when a press was not timed, or led to another frame than it should
 */
export function benchStep(field: BenchField, browser: Browser): Promise<BenchPart> {
  return inNewWindow(field, browser, markedShot(MARKED.from, MARKED.to), async (page) => {
    const settled = settling(page);
    await firstPicture(page);
    await settled();
    await walk(page, 4 * TURN); // compiles the page's code; not counted
    await settled();
    await page.evaluate(() => {
      performance.clearMeasures("step");
      window.benchHandedOverMs = [];
    });
    const from = Number(/\d+/.exec((await page.getByTestId("frame-number").textContent()) ?? "")?.[0]);
    await walk(page, STEPS);
    const { steps, handedOverMs } = await page.evaluate(() => ({
      steps: performance.getEntriesByName("step").map((entry) => ({
        drawnMs: entry.duration,
        ...(entry as PerformanceMeasure).detail,
      })) as Step[],
      handedOverMs: window.benchHandedOverMs,
    }));
    check(steps, from, handedOverMs.length);
    const drawn = steps.filter(({ ready }) => ready).map(({ drawnMs }) => drawnMs);
    const p95 = percentile(drawn, 0.95);
    return {
      title: "Stepping to a neighbour frame that is decoded ahead, 1080p, Chromium",
      figures: [
        {
          what: "key press to picture drawn, 95th percentile",
          value: ms(p95),
          target: { text: `< ${MOST_MS} ms`, met: p95 < MOST_MS && drawn.length >= 0.95 * STEPS },
        },
        {
          what: "  median, 99th percentile, longest",
          value: [median(drawn), percentile(drawn, 0.99), Math.max(...drawn)].map(ms).join(", "),
          target: null,
        },
        {
          what: "key press to the next frame handed over, median, 95th",
          value: [median(handedOverMs), percentile(handedOverMs, 0.95)].map(ms).join(", "),
          target: null,
        },
      ],
      notes: [
        `${STEPS} presses ${REPEAT_MS} ms apart, ${TURN} one way and ${TURN} back; ${STEPS - drawn.length} found their frame not decoded and are not in the figures`,
        "drawn: the main thread's work, from the key handler to the end of the commit that drew the picture and its marks",
        "handed over: with layout, painting and the wait for the display's next beat (16.7 ms at most)",
      ],
    };
  });
}

async function walk(page: Page, steps: number): Promise<void> {
  for (let step = 0; step < steps; step++) {
    const next = performance.now() + REPEAT_MS;
    await page.keyboard.press(Math.floor(step / TURN) % 2 === 0 ? "ArrowRight" : "ArrowLeft");
    await page.waitForTimeout(Math.max(0, next - performance.now()));
  }
  await page.waitForTimeout(200); // the last frame has to be handed over too
}

/** Counts requests from now on. @returns a wait until none has been under way for a while */
function settling(page: Page): () => Promise<void> {
  let lastMs = performance.now();
  const running = new Set<unknown>();
  page.on("request", (request) => running.add(request));
  const ended = (request: unknown) => {
    running.delete(request);
    lastMs = performance.now();
  };
  page.on("requestfinished", ended);
  page.on("requestfailed", ended);
  return async () => {
    while (running.size > 0 || performance.now() - lastMs < SETTLED_MS) await page.waitForTimeout(50);
  };
}

function check(steps: readonly Step[], from: number, handedOver: number): void {
  if (steps.length !== STEPS || handedOver !== STEPS) {
    throw new Error(
      `Of ${STEPS} presses ${steps.length} were timed by the page and ${handedOver} by frames.`,
    );
  }
  let frame = from;
  for (const [i, step] of steps.entries()) {
    frame += Math.floor(i / TURN) % 2 === 0 ? 1 : -1;
    if (step.frame !== frame) throw new Error(`Press ${i} led to frame ${step.frame}, not ${frame}.`);
  }
}
