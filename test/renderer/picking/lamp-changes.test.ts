import { expect, it } from "vitest";
import { type AppState, emptyState } from "../../../src/renderer/app-state/app-state.ts";
import { hintOf } from "../../../src/renderer/frame/hint.ts";
import { lampTurned, takesLamp } from "../../../src/renderer/picking/lamp-changes.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const lamp = { intervalS: { value: 0.02, u: 1e-6 }, frames: [4, 23] };
const clock = { kind: "capture-rate", captureRateHz: { value: 960, u: 1 } } as const;

function at(patch: Partial<Shot>, part: Partial<AppState> = {}): AppState {
  const shot = { ...freshShot("shot-1", "one", "a.mp4"), ...patch };
  return {
    ...emptyState({ ...freshSession("t"), shots: [shot] }),
    shotId: "shot-1",
    step: "clock",
    ...part,
  };
}

it("enters a change in order, and takes it back", () => {
  expect(lampTurned(lamp, 13).frames).toEqual([4, 13, 23]);
  expect(lampTurned(lampTurned(lamp, 13), 13)).toEqual(lamp);
});

it("is asked for only while Clock is open, the interval is given and the clip is slow motion", () => {
  expect(takesLamp(at({ lamp, clock }))).toBe(true);
  expect(takesLamp(at({ lamp, clock }, { step: "marks" }))).toBe(false);
  expect(takesLamp(at({ clock }))).toBe(false);
  expect(takesLamp(at({ lamp, clock: { kind: "timestamps", rateError: { value: 0, u: 1e-4 } } }))).toBe(
    false,
  );
});

it("says on the picture what L does now", () => {
  expect(hintOf(at({ lamp, clock }, { frame: 5 }))).toMatch(/press L/);
  expect(hintOf(at({ lamp, clock }, { frame: 23 }))).toBe("The lamp changes in frame 23. L takes that back.");
  expect(hintOf(at({ clock }, { frame: 5 }))).toBeNull();
});
