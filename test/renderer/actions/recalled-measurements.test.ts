import { expect, it } from "vitest";
import { recalling } from "../../../src/renderer/actions/recalled-measurements.ts";
import type { MeasureRequest } from "../../../src/renderer/workers/measure-worker.ts";
import type { KeptMeasurement } from "../../../src/shared/api/contract.ts";
import { CLIP_NOTICES } from "../../../src/shared/results/notices/clip-notices.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";

const session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", "a.mp4")] };
const facts = { name: "a.mp4", pts: [0, 1, 2] } as unknown as ClipFacts;
const request: MeasureRequest = { session, shotId: "shot-1", facts, how: "full", refused: null };
const never = new AbortController().signal;

/** A cache over an array, and a measuring that counts. */
function bench(kept: KeptMeasurement[] = []) {
  let measured = 0;
  const measure = recalling(
    async ({ shotId }) => {
      measured++;
      return { shotId, notices: [], measurement: null, prediction: null, comparison: null } as ShotResult;
    },
    { measured: async () => [...kept], keepMeasured: async (one) => void kept.push(one) },
  );
  return { measure, kept, count: () => measured };
}

it("measures once, and gives what was kept at the next opening", async () => {
  const first = bench();
  await first.measure(request, never);
  expect([first.count(), first.kept.length]).toEqual([1, 1]);
  const next = bench(first.kept);
  expect(await next.measure(request, never)).toBe(first.kept[0]!.result);
  expect(next.count()).toBe(0);
});

it("measures again once anything that it rests on is another", async () => {
  const { measure, count, kept } = bench();
  await measure(request, never);
  const other = { ...session, shots: [{ ...session.shots[0]!, cameraId: "other" }] };
  await measure({ ...request, session: other }, never);
  await measure({ ...request, facts: { ...facts, bytes: 7 } as ClipFacts }, never);
  expect([count(), new Set(kept.map(({ key }) => key)).size]).toEqual([3, 3]);
});

it("neither keeps nor gives a quick result, a refusal, or one without its clip", async () => {
  const { measure, count, kept } = bench();
  await measure({ ...request, how: "quick" }, never);
  await measure({ ...request, refused: CLIP_NOTICES["another-clip"]("a.mp4") }, never);
  await measure({ ...request, facts: null }, never);
  expect([count(), kept]).toEqual([3, []]);
});

it("measures when the cache does not answer", async () => {
  const measure = recalling(async () => ({ shotId: "shot-1" }) as ShotResult, {
    measured: () => Promise.reject(new Error("gone")),
    keepMeasured: () => Promise.reject(new Error("full")),
  });
  expect(await measure(request, never)).toEqual({ shotId: "shot-1" });
});
