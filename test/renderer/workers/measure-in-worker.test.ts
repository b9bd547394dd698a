import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { OutOfTime } from "../../../src/renderer/workers/budgeted-worker.ts";
import { measureInWorker } from "../../../src/renderer/workers/measure-in-worker.ts";
import type { MeasureMessage, MeasureRequest } from "../../../src/renderer/workers/measure-worker.ts";
import { createMeasurer } from "../../../src/shared/measure/measurer.ts";

const session = exampleSession(1);
const request = (how: "quick" | "full"): MeasureRequest => ({
  session,
  shotId: session.shots[0]!.id,
  facts: null,
  how,
  refused: null,
});
const going = new AbortController().signal;

/** Measuring with workers that run in this thread; `silent` makes the newest one answer nothing. */
function bench() {
  const state = { silent: false, timers: [] as (() => void)[], messages: [] as MeasureMessage[] };
  const measure = measureInWorker({
    make() {
      const measurer = createMeasurer();
      const worker = {
        onmessage: null as ((event: MessageEvent) => void) | null,
        onerror: null,
        terminate() {},
        postMessage(message: unknown) {
          const sent = structuredClone(message) as MeasureMessage;
          state.messages.push(sent);
          if (state.silent) return;
          const { how, session: document, shotId, facts } = sent.request;
          measurer.remember(sent.memories);
          const result = measurer[how](document, shotId, facts);
          const memory = how === "full" ? measurer.memoryOf(shotId) : null;
          worker.onmessage?.({ data: structuredClone({ ok: true, result, memory }) } as MessageEvent);
        },
      };
      return worker;
    },
    later(run) {
      state.timers.push(run);
      return () => {};
    },
  });
  return { measure, state };
}

it("tells a new worker what the one before it remembered, so that quick measurements stay quick", async () => {
  const { measure, state } = bench();
  await measure(request("full"), going);
  const quick = await measure(request("quick"), going);
  state.silent = true;
  const stop = new AbortController();
  const outdated = measure(request("full"), stop.signal);
  stop.abort();
  await expect(outdated).rejects.toBe(stop.signal.reason);
  state.silent = false;
  const again = await measure(request("quick"), going);
  expect(state.messages.map(({ memories }) => memories.length)).toEqual([0, 0, 0, 1]);
  expect(again).toEqual(quick); // a measurement without what is remembered is a full one, which differs
  expect(again).not.toEqual(createMeasurer().full(session, session.shots[0]!.id, null));
});

it("lets the one who asked know that the time is used up", async () => {
  const { measure, state } = bench();
  state.silent = true;
  const hopeless = measure(request("full"), going);
  state.timers.at(-1)!();
  await expect(hopeless).rejects.toBeInstanceOf(OutOfTime);
});
