import { describe, expect, it } from "vitest";
import {
  type AppState,
  atFrame,
  atStep,
  emptyState,
  type Pick,
  shotOf,
} from "../../../src/renderer/app-state/app-state.ts";
import { handlesOf } from "../../../src/renderer/frame/handles.ts";
import { hintOf } from "../../../src/renderer/frame/hint.ts";
import { boardItems, sweepItems } from "../../../src/renderer/frame/overlay-sketch.ts";
import { movedTo, pickedAt, placeOf, removed } from "../../../src/renderer/picking/picks.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";

const facts = { name: "a.mp4", pts: Array.from({ length: 50 }, (_, i) => i) } as unknown as ClipFacts;

function windowState(step: "clock" | "scale", pick: Pick): AppState {
  const session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", "a.mp4")] };
  const known = { "a.mp4": { status: "known", facts, fingerprint: null } } as const;
  return { ...atStep({ ...emptyState(session), shotId: "shot-1", known, frame: 7 }, step), pick };
}
const clicked = (state: AppState, ...places: readonly (readonly [number, number])[]) =>
  places.reduce((now, place) => {
    const picked = pickedAt(now, place);
    expect(picked.edit).toBeNull(); // nothing of this is in the document
    return picked.state;
  }, state);

describe("clicks along an edge", () => {
  const drawn = clicked(windowState("clock", { kind: "edge" }), [100, 20], [104, 300], [108, 580]);

  it("belong to the frame that is shown, and to the last sweep", () => {
    const both = clicked(atFrame(drawn, 12), [200, 20]);
    expect(both.sketch.sweeps).toEqual([
      [
        {
          frame: 7,
          points: [
            [100, 20],
            [104, 300],
            [108, 580],
          ],
        },
        { frame: 12, points: [[200, 20]] },
      ],
    ]);
    const next = clicked(
      { ...both, sketch: { ...both.sketch, sweeps: [...both.sketch.sweeps, []] } },
      [300, 20],
    );
    expect(next.sketch.sweeps[1]).toEqual([{ frame: 12, points: [[300, 20]] }]);
  });

  it("can be grabbed, moved and removed in their own frame only", () => {
    const handle = { kind: "edge", sweep: 0, at: 1 } as const;
    expect(
      handlesOf(shotOf(drawn)!, drawn.pending, 7, "clock", drawn.sketch).map(({ at }) => at),
    ).toContainEqual([104, 300]);
    expect(handlesOf(shotOf(drawn)!, drawn.pending, 12, "clock", drawn.sketch)).toEqual([]);
    expect(placeOf(atFrame(drawn, 12), handle)).toBeNull();
    expect(movedTo(atFrame(drawn, 12), handle, [1, 1])).toBeNull();
    expect(placeOf(movedTo(drawn, handle, [105, 301])!.state, handle)).toEqual([105, 301]);
    expect(removed(drawn, handle)!.state.sketch.sweeps[0]![0]!.points).toEqual([
      [100, 20],
      [108, 580],
    ]);
    let state = drawn;
    for (let left = 3; left > 0; left--) state = removed(state, { kind: "edge", sweep: 0, at: 0 })!.state;
    expect(state.sketch.sweeps).toEqual([[]]);
  });

  it("let go of the selection when another frame is shown", () => {
    expect(drawn.selected).toEqual({ kind: "edge", sweep: 0, at: 2 });
    expect(atFrame(drawn, 12).selected).toBeNull();
  });

  it("say what to click next, and are drawn with rings in their own frame only", () => {
    expect(hintOf(windowState("clock", { kind: "edge" }))).toMatch(/^Click points along the edge/);
    expect(hintOf(drawn)).toMatch(/^Go to another frame/);
    const items = (frame: number) => sweepItems({ scale: 1, x: 0, y: 0 }, drawn.sketch.sweeps, frame, null);
    expect(items(7).map(({ key }) => key)).toEqual(["edge-0-7", "edge-0-7-0", "edge-0-7-1", "edge-0-7-2"]);
    expect(items(8)).toMatchObject([{ key: "edge-0-7", dash: [3, 5] }]);
  });
});

describe("the crossings of a board", () => {
  const start = windowState("scale", { kind: "crossing" });
  const board = { ...start, sketch: { ...start.sketch, board: { columns: 4, rows: 3, views: [] } } };
  const outer = clicked(board, [100, 100], [400, 100], [400, 300], [100, 300]);
  const points = (state: AppState) => state.sketch.board.views[0]!.points;

  it("are the four outer ones first, in turn, and then the nearest to each click", () => {
    expect(hintOf(board)).toBe("Click the board's top left crossing.");
    expect(hintOf(clicked(board, [100, 100], [400, 100]))).toBe("Click the board's bottom right crossing.");
    expect(points(outer).map(({ column, row }) => [column, row])).toEqual([
      [0, 0],
      [3, 0],
      [3, 2],
      [0, 2],
    ]);
    const inner = clicked(outer, [212, 190]);
    expect(points(inner)[4]).toEqual({ column: 1, row: 1, at: [212, 190] });
    expect(hintOf(inner)).toMatch(/^Click further crossings/);
  });

  it("are moved when clicked again, and a click between them places nothing", () => {
    const again = clicked(outer, [212, 190], [198, 202]);
    expect(points(again)).toHaveLength(5);
    expect(points(again)[4]!.at).toEqual([198, 202]);
    expect(clicked(outer, [250, 150]).sketch).toEqual(outer.sketch);
  });

  it("begin anew in another frame, and ask for an outer one again when it was removed", () => {
    const second = clicked(atFrame(outer, 20), [110, 90]);
    expect(second.sketch.board.views.map(({ frame, points: of }) => [frame, of.length])).toEqual([
      [7, 4],
      [20, 1],
    ]);
    const without = removed(outer, { kind: "crossing", at: 1 })!.state;
    expect(hintOf(without)).toBe("Click the board's top right crossing.");
  });

  it("are drawn with the places to come once the outer ones are there", () => {
    const items = boardItems({ scale: 1, x: 0, y: 0 }, outer.sketch.board, 7, outer.selected);
    const dots = items.find(({ key }) => key === "board-to-come");
    expect(dots).toMatchObject({ kind: "dots" });
    expect(dots?.kind === "dots" && dots.at.length).toBe(8);
    expect(items.filter(({ key }) => key.startsWith("crossing-"))).toHaveLength(5);
    expect(boardItems({ scale: 1, x: 0, y: 0 }, outer.sketch.board, 8, null)).toEqual([]);
  });
});
