import type { MeasureShot } from "./measure-in-worker.ts";

const NO_FRAME_MS = 100; // a page that is not seen draws none

/**
 * Measures once the window has shown what asked for it: on few cores a whole measurement would hold the frame
 * up that shows the edit. A quick one, which answers a mark that moves, is not held back.
 */
export function onceShown(measure: MeasureShot): MeasureShot {
  return async (request, signal) => {
    if (request.how === "full") await frameShown();
    signal.throwIfAborted();
    return measure(request, signal);
  };
}

/** Waits until the next frame has been handed over. */
function frameShown(): Promise<void> {
  return new Promise((resolve) => {
    setTimeout(resolve, NO_FRAME_MS);
    requestAnimationFrame(() => setTimeout(resolve, 0));
  });
}
