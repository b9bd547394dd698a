import type { SweepFrame } from "../../shared/measure/readout-from-sweeps.ts";
import { type Crossing, crossingsToCome } from "../../shared/scale/board-crossings.ts";
import type { Handle } from "../app-state/app-state.ts";
import type { Sketch } from "../app-state/picked-so-far.ts";
import { crossingsIn } from "../picking/sketch-picks.ts";
import { toScreen, type Viewport } from "../viewport/viewport.ts";
import { type OverlayItem, ring } from "./overlay-item.ts";

/**
 * Edges that sweep across the picture: this frame's with their clicks, those of other frames as thin lines,
 * so that the sweep shows.
 */
export function sweepItems(
  viewport: Viewport,
  sweeps: readonly (readonly SweepFrame[])[],
  frame: number,
  selected: Handle | null,
): OverlayItem[] {
  return sweeps.flatMap((sweep, s) =>
    sweep.flatMap(({ frame: of, points }): OverlayItem[] => {
      const places = points.map((point) => toScreen(viewport, point)).sort(([, a], [, b]) => a - b);
      const key = `edge-${s}-${of}`;
      const line: OverlayItem = {
        kind: "lines",
        key,
        tone: "trail",
        closed: false,
        width: of === frame ? 1.5 : 1,
        ...(of === frame ? {} : { dash: [3, 5] }),
        lines: [places],
      };
      if (of !== frame) return [line];
      const chosen = selected?.kind === "edge" && selected.sweep === s ? points[selected.at] : undefined;
      return [
        line,
        ...places.map((place, i) => ring(`${key}-${i}`, place, "scale")),
        ...(chosen === undefined ? [] : [ring(`${key}-chosen`, toScreen(viewport, chosen), "chosen")]),
      ];
    }),
  );
}

/**
 * A board's crossings in this frame: those picked with the lines between neighbours, and dots where
 * the others are to be found.
 */
export function boardItems(
  viewport: Viewport,
  board: Sketch["board"],
  frame: number,
  selected: Handle | null,
): OverlayItem[] {
  const picked = crossingsIn(board.views, frame);
  if (picked.length === 0) return [];
  const chosen = selected?.kind === "crossing" ? picked[selected.at] : undefined;
  const toCome = crossingsToCome(picked, board).map(({ at }) => toScreen(viewport, at));
  return [
    {
      kind: "lines",
      key: "board-lines",
      tone: "trail",
      closed: false,
      width: 1,
      lines: neighbours(picked).map((pair) => pair.map(({ at }) => toScreen(viewport, at))),
    },
    { kind: "dots", key: "board-to-come", tone: "trail", at: toCome, r: 2 },
    ...picked.map(({ column, row, at }) =>
      ring(`crossing-${column}-${row}`, toScreen(viewport, at), "scale"),
    ),
    ...(chosen === undefined ? [] : [ring("crossing-chosen", toScreen(viewport, chosen.at), "chosen")]),
  ];
}

/** Picked crossings that lie side by side or one above the other. */
function neighbours(picked: readonly Crossing[]): readonly (readonly [Crossing, Crossing])[] {
  return picked.flatMap((one) =>
    picked
      .filter(
        (other) =>
          (other.column === one.column + 1 && other.row === one.row) ||
          (other.row === one.row + 1 && other.column === one.column),
      )
      .map((other) => [one, other] as const),
  );
}
