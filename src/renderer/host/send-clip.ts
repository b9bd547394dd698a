import type { Client } from "../../shared/api/client.ts";
import type { JobReply } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";

type Waiting = Parameters<Client["runJob"]>[1];

/**
 * Sends a clip into the folder: a job takes it and says how far it has come and what came of it; the bytes go
 * to the job in a request of their own.
 * @param put sends them; it rejects where the file cannot be read or nobody answers
 * @returns the job; cancelled when the person stopped it
 * @throws FaultError the job's, or "not-read"
 */
export async function sendClip(
  runJob: Client["runJob"],
  put: (job: string, file: File, signal: AbortSignal) => Promise<void>,
  waiting: Waiting,
  file: File,
): Promise<JobReply> {
  const { name, size: bytes, lastModified: modifiedMs } = file;
  const sending = new AbortController();
  let [begun, failed] = [false, false];
  const signal = {
    get aborted() {
      return failed || waiting.signal?.aborted === true;
    },
  };
  const onProgress = (job: JobReply) => {
    if (!begun && job.state === "running") {
      begun = true;
      put(job.id, file, sending.signal).catch(() => {
        failed = true; // the job is then stopped, unless it has ended and says why
      });
    }
    waiting.onProgress?.(job);
  };
  const asked = { kind: "receive-clip", name, bytes, modifiedMs } as const;
  const job = await runJob(asked, { ...waiting, signal, onProgress }).finally(() => sending.abort());
  if (job.state === "cancelled" && waiting.signal?.aborted !== true) throw notSendable(name);
  return job;
}

function notSendable(name: string): FaultError {
  return new FaultError(
    "not-read",
    `The browser could not send ${name}, so nothing was added.`,
    "See whether it is still where it was and can be read, then drop it again.",
  );
}
