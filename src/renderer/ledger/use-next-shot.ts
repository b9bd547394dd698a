import { useEffect, useRef, useState } from "react";
import type { NextShotReport } from "../../shared/next/next-shot-report.ts";
import type { ShotSpeed } from "../../shared/next/repeats.ts";
import type { NextShot, Session, Shot } from "../../shared/session/schema.ts";
import type { NextShotReply, NextShotRequest } from "./next-shot-worker.ts";

export interface NextShotState {
  /** Of the newest input, or of the one before while that is worked on; null before the first. */
  readonly report: NextShotReport | null;
  readonly fresh: boolean;
  readonly failed: string | null;
}

/** What a report rests on, as text: marks and clips of the shots do not touch it but through their speeds. */
function keyOf(session: Session, shot: Shot, ask: NextShot, speeds: readonly ShotSpeed[]): string {
  const { airframe, launcher, tuning, units, shots } = session;
  const gauges = shots.map(({ conditions }) => conditions.gaugePressurePa);
  return JSON.stringify([airframe, launcher, tuning, units, gauges, shot.id, shot.conditions, ask, speeds]);
}

/** Solves for the next shot in a worker for as long as it is used; while one is worked on, only the newest other input waits. */
export function useNextShot(
  session: Session,
  shot: Shot,
  ask: NextShot,
  speeds: readonly ShotSpeed[],
): NextShotState {
  const key = keyOf(session, shot, ask, speeds);
  const worker = useRef<Worker | null>(null);
  const working = useRef(false);
  const waiting = useRef<NextShotRequest | null>(null);
  const newest = useRef(key);
  newest.current = key;
  const [state, setState] = useState<{ report: NextShotReport | null; key: string; failed: string | null }>({
    report: null,
    key: "",
    failed: null,
  });
  const latest = useRef({ session, shot, ask, speeds });
  latest.current = { session, shot, ask, speeds };

  useEffect(() => {
    const made = new Worker(new URL("./next-shot-worker.ts", import.meta.url), { type: "module" });
    worker.current = made;
    working.current = false;
    const done = () => {
      working.current = false;
      const next = waiting.current;
      waiting.current = null;
      if (next !== null) send(next);
    };
    const send = (request: NextShotRequest) => {
      working.current = true;
      made.postMessage(request);
    };
    made.onmessage = ({ data }: MessageEvent<NextShotReply>) => {
      if (data.key === newest.current) {
        setState((before) =>
          data.ok
            ? { report: data.report, key: data.key, failed: null }
            : { ...before, key: data.key, failed: data.message },
        );
      }
      done();
    };
    made.onerror = (event) => {
      setState((before) => ({
        ...before,
        key: newest.current,
        failed: event.message || "the worker did not start",
      }));
      done();
    };
    return () => made.terminate();
  }, []);

  useEffect(() => {
    // A page writes no marks into the worker: they are most of a session and say nothing here.
    const { session: whole, shot: like, ask: wanted, speeds: measured } = latest.current;
    const light = { ...whole, shots: whole.shots.map((one) => ({ ...one, marks: [] })) };
    const request = {
      key,
      session: light,
      shot: { ...like, marks: [] },
      ask: wanted,
      speeds: measured,
    };
    if (working.current) waiting.current = request;
    else {
      working.current = true;
      worker.current?.postMessage(request);
    }
  }, [key]);

  return { report: state.report, fresh: state.key === key, failed: state.failed };
}
