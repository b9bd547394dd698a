import { FaultError } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/shot/shot-result.ts";
import type { MeasureAnswer, MeasureRequest } from "./measure-worker.ts";

/** Starts the worker that measures; one request at a time. @returns a function that rejects with a FaultError */
export function measureInWorker(): (request: MeasureRequest) => Promise<ShotResult> {
  const worker = new Worker(new URL("./measure-worker.ts", import.meta.url), { type: "module" });
  return (request) =>
    new Promise((resolve, reject) => {
      const failed = (message: string) =>
        reject(
          new FaultError(
            "not-measured",
            `This shot could not be computed: ${message}.`,
            "Undo the last change. The document is saved as it is; nothing is lost.",
          ),
        );
      worker.onmessage = ({ data }: MessageEvent<MeasureAnswer>) =>
        data.ok ? resolve(data.result) : failed(data.message);
      worker.onerror = (event) => failed(event.message || "the worker did not start");
      worker.postMessage(request);
    });
}
