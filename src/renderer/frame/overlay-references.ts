import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Handle } from "../app-state/app-state.ts";
import { type Place, toScreen, type Viewport } from "../viewport/viewport.ts";
import { END_R, type OverlayItem, ring } from "./overlay-item.ts";

const BOARD_SHARE = 0.03; // of the rod's length: half of how high a board may be whose ends these are

export interface RodDrawing {
  readonly key: string;
  readonly viewport: Viewport;
  readonly a: PxPoint | null;
  readonly b: PxPoint | null;
  readonly text: string;
  readonly chosen: "a" | "b" | null;
  /** the ends show their handles */
  readonly showEnds: boolean;
}

/** A rod between two picked ends, its ends marked across, its length on its upper side. */
export function rodItems({
  key,
  viewport,
  a: endA,
  b: endB,
  text,
  chosen,
  showEnds,
}: RodDrawing): OverlayItem[] {
  const ends = [endA, endB].map((end) => (end === null ? null : toScreen(viewport, end)));
  const [a, b] = ends;
  const items: OverlayItem[] = [];
  if (a && b) {
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
    const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
    const gap = Math.min(END_R, length / 3);
    const across = ([x, y]: Place, way: 1 | -1): readonly Place[] => [
      [x - way * uy * 9, y + way * ux * 9],
      [x - way * uy * gap, y + way * ux * gap],
    ];
    items.push({
      kind: "lines",
      key,
      tone: "scale",
      closed: false,
      width: 1.5,
      lines: [
        [
          [a[0] + ux * gap, a[1] + uy * gap],
          [b[0] - ux * gap, b[1] - uy * gap],
        ],
        across(a, 1),
        across(a, -1),
        across(b, 1),
        across(b, -1),
      ],
    });
    // the label stands on the upper side of the rod whichever end was picked first
    const up = ux >= 0 ? 1 : -1;
    const clear = 16 + BOARD_SHARE * Math.hypot(b[0] - a[0], b[1] - a[1]);
    items.push({
      kind: "label",
      key: `${key}-label`,
      tone: "scale",
      at: [(a[0] + b[0]) / 2 + up * uy * clear, (a[1] + b[1]) / 2 - up * ux * clear],
      text,
    });
  }
  for (const [end, at] of [
    ["a", a],
    ["b", b],
  ] as const) {
    if (at && (showEnds || chosen === end)) {
      items.push(ring(`${key}-${end}`, at, chosen === end ? "chosen" : "scale"));
    }
  }
  return items;
}

export interface ReferencesInput {
  readonly viewport: Viewport;
  readonly rods: readonly { readonly a: PxPoint; readonly b: PxPoint; readonly text: string }[];
  readonly level: { readonly left: PxPoint; readonly right: PxPoint } | null;
  /** known points of the plane, in the order of the ledger */
  readonly control: readonly PxPoint[];
  /** points along lines that are straight in the world; drawn only in the step of the scale */
  readonly lines: readonly (readonly PxPoint[])[];
  /** the first end of a rod or level whose other end is still to be picked */
  readonly first: PxPoint | null;
  readonly selected: Handle | null;
  readonly showEnds: boolean;
}

/** Further rods, the level line, known points with their numbers, and what is drawn for the lens. */
export function referencePlan(input: ReferencesInput): readonly OverlayItem[] {
  const { viewport, rods, first, selected, showEnds } = input;
  return [
    ...rods.flatMap(({ a, b, text }, at) => {
      const chosen = selected?.kind === "rod" && selected.at === at ? selected.end : null;
      return rodItems({ key: `rod-${at}`, viewport, a, b, text, chosen, showEnds });
    }),
    ...levelItems(input),
    ...controlItems(input),
    ...(showEnds ? straightItems(input) : []),
    ...(first === null ? [] : [ring("first", toScreen(viewport, first), "chosen")]),
  ];
}

function levelItems({ viewport, level, selected, showEnds }: ReferencesInput): OverlayItem[] {
  if (level === null) return [];
  const [left, right] = [toScreen(viewport, level.left), toScreen(viewport, level.right)];
  const chosen = selected?.kind === "level" ? selected.end : null;
  const items: OverlayItem[] = [
    {
      kind: "lines",
      key: "level",
      tone: "plumb",
      closed: false,
      width: 1.5,
      dash: [7, 5],
      lines: [[left, right]],
    },
    {
      kind: "label",
      key: "level-label",
      tone: "plumb",
      at: [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2 - 14],
      text: "level",
    },
  ];
  for (const [end, at] of [
    ["left", left],
    ["right", right],
  ] as const) {
    if (showEnds || chosen === end) items.push(ring(`level-${end}`, at, chosen === end ? "chosen" : "plumb"));
  }
  return items;
}

function controlItems({ viewport, control, selected }: ReferencesInput): OverlayItem[] {
  return control.flatMap((point, at): OverlayItem[] => {
    const [x, y] = toScreen(viewport, point);
    const tone = selected?.kind === "control" && selected.at === at ? "chosen" : "scale";
    return [
      ring(`control-${at}`, [x, y], tone),
      { kind: "label", key: `control-${at}-label`, tone, at: [x + 14, y - 14], text: String(at + 1) },
    ];
  });
}

function straightItems({ viewport, lines, selected }: ReferencesInput): OverlayItem[] {
  return lines.flatMap((line, l): OverlayItem[] => {
    const places = line.map((point) => toScreen(viewport, point));
    if (places.length === 0) return [];
    const chosen = selected?.kind === "straight" && selected.line === l ? places[selected.at] : undefined;
    return [
      { kind: "lines", key: `straight-${l}`, tone: "trail", closed: false, width: 1, lines: [places] },
      { kind: "dots", key: `straight-${l}-points`, tone: "trail", at: places, r: 4 },
      ...(chosen === undefined ? [] : [ring(`straight-${l}-chosen`, chosen, "chosen")]),
    ];
  });
}
