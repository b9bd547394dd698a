import { useEffect, useRef, useState } from "react";
import type { SpeedCard } from "../../../shared/next-shot/card-content.ts";
import type { NextShotReport } from "../../../shared/next-shot/next-shot-report.ts";
import type { ShotSpeed } from "../../../shared/next-shot/repeats.ts";
import type { NextShot, Session, Shot } from "../../../shared/session/schema.ts";
import { createBudgetedWorker } from "../../workers/budgeted-worker.ts";
import { createLatestWins, type LatestWins } from "../../workers/latest-wins.ts";
import { nextShotKey } from "./next-shot-key.ts";
import type { NextShotReply, NextShotRequest } from "./next-shot-worker.ts";

export interface NextShotState {
  /** Of the newest input, or of the one before while that is worked on; null before the first. */
  readonly report: NextShotReport | null;
  /** The card for the field, of the same input; null where none was asked for. */
  readonly card: SpeedCard | null;
  readonly fresh: boolean;
  readonly failed: string | null;
}

/**
 * The worker gives way to a newer question after so long, ms: what a person typed since
 * is what they want to see.
 */
const SUPERSEDED_MS = 1000;

/**
 * Solves for the next shot in a worker for as long as it is used; while one is worked on, only the
 * newest other input waits.
 */
export function useNextShot(
  session: Session,
  shot: Shot,
  ask: NextShot,
  speeds: readonly ShotSpeed[],
  card: boolean,
): NextShotState {
  const key = `${card} ${nextShotKey(session, shot, ask, speeds)}`;
  const newest = useRef(key);
  newest.current = key;
  const [state, setState] = useState<Omit<NextShotState, "fresh"> & { readonly key: string }>({
    report: null,
    card: null,
    key: "",
    failed: null,
  });
  const latest = useRef({ session, shot, ask, speeds, card });
  latest.current = { session, shot, ask, speeds, card };
  const queue = useRef<LatestWins<NextShotRequest> | null>(null);

  useEffect(() => {
    const worker = createBudgetedWorker<NextShotRequest, NextShotReply>({ make: newWorker });
    const failed = (of: string, message: string) => {
      if (of === newest.current) setState((before) => ({ ...before, key: of, failed: message }));
    };
    queue.current = createLatestWins<NextShotRequest, NextShotReply>({
      run: (request, signal) => worker.ask(() => request, signal),
      onAnswer(_, reply) {
        if (!reply.ok) failed(reply.key, reply.message);
        else if (reply.key === newest.current)
          setState({ report: reply.report, card: reply.card, key: reply.key, failed: null });
      },
      onError: (_, error, request) =>
        failed(request.key, error instanceof Error ? error.message : String(error)),
      supersededAfterMs: () => SUPERSEDED_MS,
      later(run, ms) {
        const timer = setTimeout(run, ms);
        return () => clearTimeout(timer);
      },
      nowMs: () => performance.now(),
    });
    return () => worker.close();
  }, []);

  useEffect(() => {
    // A page writes no marks into the worker: they are most of a session and say nothing here.
    const { session: whole, shot: like, ask: wanted, speeds: measured, card: withCard } = latest.current;
    const light = { ...whole, shots: whole.shots.map((one) => ({ ...one, marks: [] })) };
    queue.current?.ask("next shot", {
      key,
      session: light,
      shot: { ...like, marks: [] },
      ask: wanted,
      speeds: measured,
      card: withCard,
    });
  }, [key]);

  return { report: state.report, card: state.card, fresh: state.key === key, failed: state.failed };
}

function newWorker(): Worker {
  return new Worker(new URL("./next-shot-worker.ts", import.meta.url), { type: "module" });
}
