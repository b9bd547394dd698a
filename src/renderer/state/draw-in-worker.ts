import { FaultError } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import type { DrawAnswer, DrawRequest } from "./draw-worker.ts";

/** Follows draws: how many are done, and a signal that ends them. */
export interface FollowDraws {
  readonly signal: AbortSignal;
  readonly onDraw: (done: number) => void;
}

/**
 * Measures a shot with all its inputs drawn, in a worker of its own, so that marks can be moved meanwhile.
 * @returns the result; null when stopped
 * @throws FaultError "not-measured"
 */
export function drawInWorker(
  request: DrawRequest,
  { signal, onDraw }: FollowDraws,
): Promise<ShotResult | null> {
  const worker = new Worker(new URL("./draw-worker.ts", import.meta.url), { type: "module" });
  return new Promise<ShotResult | null>((resolve, reject) => {
    const failed = (message: string) =>
      reject(
        new FaultError(
          "not-measured",
          `The inputs could not be drawn: ${message}.`,
          "Try again; the results shown are as they were.",
        ),
      );
    worker.onmessage = ({ data }: MessageEvent<DrawAnswer>) => {
      if (data.kind === "drawn") onDraw(data.done);
      else if (data.kind === "result") resolve(data.result);
      else failed(data.message);
    };
    worker.onerror = (event) => failed(event.message || "the worker did not start");
    signal.addEventListener("abort", () => resolve(null));
    worker.postMessage(request);
  }).finally(() => worker.terminate());
}
