import { expect, it, vi } from "vitest";
import { onceShown } from "../../../src/renderer/workers/after-frame.ts";
import type { MeasureShot } from "../../../src/renderer/workers/measure-in-worker.ts";
import type { MeasureRequest } from "../../../src/renderer/workers/measure-worker.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";

const settle = () => new Promise((resolve) => setImmediate(resolve));

/** A measuring that notes what it was asked, and the frames that are still to be drawn. */
function bench() {
  const frames: (() => void)[] = [];
  vi.stubGlobal("requestAnimationFrame", (draw: () => void) => frames.push(draw));
  vi.stubGlobal("setTimeout", (run: () => void, ms: number) => ms === 0 && run());
  const asked: string[] = [];
  const measure = onceShown((async ({ how }: MeasureRequest) => {
    asked.push(how);
    return {} as ShotResult;
  }) as MeasureShot);
  return {
    frames,
    asked,
    ask: (how: MeasureRequest["how"], signal: AbortSignal) => measure({ how } as MeasureRequest, signal),
  };
}

it("holds a whole measurement back until the frame was drawn, not a quick one, and drops one that was ended", async () => {
  try {
    const { frames, asked, ask } = bench();
    const never = new AbortController().signal;
    void ask("full", never);
    await ask("quick", never);
    expect(asked).toEqual(["quick"]);
    frames.shift()!();
    await settle();
    expect(asked).toEqual(["quick", "full"]);
    const ended = new AbortController();
    const dropped = ask("full", ended.signal);
    ended.abort(new Error("another edit came"));
    frames.shift()!();
    await expect(dropped).rejects.toThrow("another edit came");
    expect(asked).toHaveLength(2);
  } finally {
    vi.unstubAllGlobals();
  }
});
