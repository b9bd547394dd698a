import { useEffect, useRef, useState } from "react";
import type { SessionTuning } from "../../shared/tune/tune-session.ts";
import type { TuneAsk, TuneReply } from "./tune-worker.ts";

export interface TuneWork {
  /** Null while nothing is worked on. */
  readonly progress: { readonly fraction: number; readonly doing: string } | null;
  /** Why the last one could not be done, in whole sentences. */
  readonly failed: string | null;
  start(ask: TuneAsk): void;
  stop(): void;
}

/** Tunes in a worker that is started when asked and ended when done, stopped or no longer in sight. */
export function useTune(onDone: (ask: TuneAsk, value: SessionTuning) => void): TuneWork {
  const worker = useRef<Worker | null>(null);
  const [progress, setProgress] = useState<TuneWork["progress"]>(null);
  const [failed, setFailed] = useState<string | null>(null);
  const end = () => {
    worker.current?.terminate();
    worker.current = null;
    setProgress(null);
  };
  useEffect(() => () => worker.current?.terminate(), []);
  return {
    progress,
    failed,
    stop: end,
    start(ask) {
      worker.current?.terminate();
      const made = new Worker(new URL("./tune-worker.ts", import.meta.url), { type: "module" });
      worker.current = made;
      setFailed(null);
      setProgress({ fraction: 0, doing: "reading the shots" });
      made.onmessage = ({ data }: MessageEvent<TuneReply>) => {
        switch (data.kind) {
          case "progress":
            setProgress({ fraction: data.done / data.total, doing: data.doing });
            break;
          case "failed":
            end();
            setFailed(`This could not be worked out: ${data.message}. Nothing in the document was changed.`);
            break;
          case "done":
            end();
            if (data.outcome.ok) onDone(ask, data.outcome.value);
            else setFailed(`${data.outcome.fault.cause} ${data.outcome.fault.remedy}`);
        }
      };
      made.onerror = (event) => {
        end();
        setFailed(`The tuning could not be started: ${event.message || "the worker did not start"}.`);
      };
      made.postMessage(ask);
    },
  };
}
