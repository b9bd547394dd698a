import { expect, it } from "vitest";
import {
  type AppState,
  atStep,
  emptyState,
  type Handle,
  shotOf,
} from "../../../src/renderer/app-state/app-state.ts";
import type { Picked } from "../../../src/renderer/picking/picked.ts";
import { movedTo, pickedAt, placeOf, previewed, removed } from "../../../src/renderer/picking/picks.ts";
import { controlTyped } from "../../../src/renderer/picking/reference-picks.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const scale: Shot["scale"] = { a: [100, 300], b: [600, 300], uPx: 0.4, rodM: { value: 1, u: 0.001 } };

function windowState(patch: Partial<Shot> = {}): AppState {
  const session = { ...freshSession("t"), shots: [{ ...freshShot("shot-1", "one", null), scale, ...patch }] };
  return atStep({ ...emptyState(session), shotId: "shot-1", frame: 3 }, "scale");
}
/** The state after a pick, its edit applied, as the window does it. */
function after(picked: Picked | null): AppState {
  if (picked === null) throw new Error("nothing was picked");
  const { state, edit } = picked;
  if (edit === null) return state;
  return { ...state, history: { ...state.history, present: applyEdit(state.history.present, edit) } };
}
const clicked = (state: AppState, ...places: readonly (readonly [number, number])[]) =>
  places.reduce((now, place) => after(pickedAt(now, place)), state);

it("makes a further rod of two clicks, as long as the first one says and too uncertain to count", () => {
  const done = clicked({ ...windowState(), pick: { kind: "rod", at: 0, end: "a" } }, [200, 100], [200, 350]);
  expect(shotOf(done)?.rods).toEqual([
    { a: [200, 100], b: [200, 350], aFrame: 3, bFrame: 3, uPx: 0.4, rodM: { value: 0.5, u: 0.5 / 3 } },
  ]);
  expect(done.pick).toBeNull();
});

it("picks a rod again and keeps its length", () => {
  const rods = [{ ...scale, rodM: { value: 0.7, u: 0.002 } }];
  const done = clicked(
    { ...windowState({ rods }), pick: { kind: "rod", at: 0, end: "a" } },
    [1, 2],
    [30, 40],
  );
  expect(shotOf(done)?.rods).toEqual([{ ...rods[0], a: [1, 2], b: [30, 40], aFrame: 3, bFrame: 3 }]);
});

it("keeps the u of the end that was found again, where a hand moves the other end of what was carried over", () => {
  const carried = { ...scale, uPx: 1.9, carried: { a: scale.a, b: scale.b, uPx: 0.4 } };
  const line = { top: [50, 10], bottom: [52, 400], uPx: 1.6, hangRad: 0.003 } as const;
  const plumb = { ...line, carried: { top: line.top, bottom: line.bottom, uPx: 0.5 } };
  const state = windowState({ scale: carried, rods: [carried], plumb } as unknown as Partial<Shot>);
  const moved = (handle: Handle) => shotOf(after(movedTo(state, handle, [77, 88])));
  const rod = moved({ kind: "scale", end: "a" })?.scale;
  expect([rod?.uPx, rod?.carried]).toEqual([1.9, undefined]);
  expect(moved({ kind: "rod", at: 0, end: "b" })?.rods?.[0]?.uPx).toBe(1.9);
  expect(moved({ kind: "plumb", end: "top" })?.plumb?.uPx).toBe(1.6);
});

it("makes a level of two clicks, left and right told apart by place", () => {
  const done = clicked({ ...windowState(), pick: { kind: "level", end: "left" } }, [500, 10], [20, 12]);
  expect(shotOf(done)?.level).toMatchObject({ left: [20, 12], right: [500, 10], leftFrame: 3 });
});

it("keeps clicked points until four have both numbers, then takes those that are whole", () => {
  const places = [
    [0, 0],
    [100, 0],
    [100, 50],
    [0, 50],
    [50, 25],
  ] as const;
  let state = clicked({ ...windowState(), pick: { kind: "control" } }, ...places);
  expect(state.pick).toEqual({ kind: "control" });
  for (const at of [0, 1, 2])
    state = after(controlTyped(after(controlTyped(state, at, { xM: at })), at, { yM: 2 * at }));
  state = after(controlTyped(state, 3, { xM: 3 }));
  expect(shotOf(state)?.control).toBeUndefined();
  state = after(controlTyped(state, 3, { yM: 6 }));
  expect(shotOf(state)?.control?.points).toEqual(
    [0, 1, 2, 3].map((at) => ({ at: [...places[at]!], frame: 3, xM: at, yM: 2 * at })),
  );
  expect(state.sketch.control).toEqual([{ at: [50, 25], frame: 3, xM: null, yM: null }]);
  // Point 5 is still the fifth: numbers go on across both.
  state = after(controlTyped(after(controlTyped(state, 4, { xM: 9 })), 4, { yM: 9 }));
  expect(shotOf(state)?.control?.points).toHaveLength(5);
  state = after(removed(state, { kind: "control", at: 0 }));
  expect(shotOf(state)?.control?.points[0]).toMatchObject({ xM: 1 });
});

it("gathers points along the line that is being drawn", () => {
  const one = clicked({ ...windowState(), pick: { kind: "straight" } }, [1, 1], [2, 2]);
  const two = clicked({ ...one, sketch: { ...one.sketch, lines: [...one.sketch.lines, []] } }, [5, 5]);
  expect(two.sketch.lines).toEqual([
    [
      [1, 1],
      [2, 2],
    ],
    [[5, 5]],
  ]);
  expect(two.history.past).toEqual([]);
});

const whole = () =>
  clicked(
    {
      ...windowState({
        rods: [scale!],
        level: { left: [1, 1], right: [9, 1], uPx: 0.5, tiltRad: 0.001 },
        control: { uPx: 0.5, uM: 0.005, points: [{ at: [4, 4], xM: 0, yM: 0 }] },
      }),
      pick: { kind: "straight" },
    },
    [7, 7],
  );
const handles: readonly Handle[] = [
  { kind: "rod", at: 0, end: "b" },
  { kind: "level", end: "right" },
  { kind: "control", at: 0 },
  { kind: "straight", line: 0, at: 0 },
];

it.each(handles)("moves, shows while dragged, and removes %o", (handle) => {
  const state = whole();
  expect(placeOf(state, handle)).not.toBeNull();
  expect(placeOf(after(movedTo(state, handle, [77, 88])), handle)).toEqual([77, 88]);
  expect(placeOf(previewed(state, handle, [77, 88]), handle)).toEqual([77, 88]);
  expect(placeOf(after(removed(state, handle)), handle)).toBeNull();
  expect(movedTo(windowState(), handle, [1, 1])).toBeNull();
  expect(removed(windowState(), handle)).toBeNull();
});
