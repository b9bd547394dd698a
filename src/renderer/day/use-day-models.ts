import { useEffect, useMemo, useRef, useState } from "react";
import type { OverSetting } from "../../shared/next-shot/over-setting.ts";
import { createBudgetedWorker } from "../workers/budgeted-worker.ts";
import { createLatestWins, type LatestWins } from "../workers/latest-wins.ts";
import type { DayModelReply, DayModelRequest } from "./day-model-worker.ts";

const SUPERSEDED_MS = 1000; // what was asked before may go on for so long beside a newer question

/** What is asked of the model for one kind of shot, by the kind's key. */
export type ModelQuestion = Omit<DayModelRequest, "key"> & { readonly kind: string };

/**
 * What the model says to each question, in their order; null while it is worked out in a worker. A question
 * that was answered before is not asked again.
 */
export function useDayModels(questions: readonly ModelQuestion[]): readonly (OverSetting | null)[] {
  const asked = useMemo(
    () =>
      questions.map(({ kind, ...rest }) => ({
        kind,
        request: { ...rest, key: JSON.stringify([rest.launch, rest.against, rest.range]) },
      })),
    [questions],
  );
  const [answers, setAnswers] = useState<Readonly<Record<string, OverSetting>>>({});
  const known = useRef(answers);
  known.current = answers;
  const queue = useRef<LatestWins<DayModelRequest> | null>(null);

  useEffect(() => {
    const worker = createBudgetedWorker<DayModelRequest, DayModelReply>({ make: newWorker });
    const keep = ({ key }: DayModelRequest, said: OverSetting) =>
      setAnswers((before) => ({ ...before, [key]: said }));
    const failed = (request: DayModelRequest, message: string) =>
      keep(request, { runs: [], whyNot: `It could not be worked out: ${message}.` });
    queue.current = createLatestWins<DayModelRequest, DayModelReply>({
      run: (request, signal) => worker.ask(() => request, signal),
      onAnswer: (_, reply, request) =>
        reply.ok ? keep(request, reply.said) : failed(request, reply.message),
      onError: (_, error, request) => failed(request, error instanceof Error ? error.message : String(error)),
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
    for (const { kind, request } of asked) {
      if (known.current[request.key] === undefined) queue.current?.ask(kind, request);
    }
  }, [asked]);

  return useMemo(() => asked.map(({ request }) => answers[request.key] ?? null), [asked, answers]);
}

function newWorker(): Worker {
  return new Worker(new URL("./day-model-worker.ts", import.meta.url), { type: "module" });
}
