import { parentPort } from "node:worker_threads";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { FromThread, ThreadError, ToThread } from "./heavy-task.ts";
import { createHeavyWork } from "./heavy-work.ts";

/*
 * The program of a thread: every message is answered once. Built as a file of its own beside the hosts,
 * because a thread is started from a file.
 */
const port = parentPort;
if (port === null) throw new Error("heavy-worker: runs only as a thread of a host");
const tell = (answer: FromThread) => port.postMessage(answer);
const work = createHeavyWork((fraction) => tell({ kind: "progress", fraction }));

port.on("message", async (message: ToThread) => {
  try {
    tell({ kind: "given", value: await work(message) });
  } catch (error) {
    tell({ kind: "failed", error: threadError(error) });
  }
});

function threadError(thrown: unknown): ThreadError {
  const error = thrown instanceof Error ? thrown : new Error(String(thrown));
  return {
    message: error.message,
    stack: error.stack ?? error.message,
    fault: error instanceof FaultError ? { ...error.fault } : null,
  };
}
