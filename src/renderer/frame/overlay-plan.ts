import type { PxPoint } from "../../shared/quantity/point.ts";
import type { Mark, Plumb, Point } from "../../shared/session/schema.ts";
import type { Handle } from "../app-state/app-state.ts";
import { type Place, toScreen, type Viewport } from "../viewport/viewport.ts";
import { outlineOf, type PointSign, pointSigns } from "./mark-shapes.ts";
import { type OverlayItem, ring } from "./overlay-item.ts";
import { rodItems } from "./overlay-references.ts";

export interface OverlayInput {
  readonly viewport: Viewport;
  readonly frame: number;
  readonly points: readonly Point[];
  readonly marks: readonly Mark[];
  readonly pointId: string | null;
  readonly selected: Handle | null;
  readonly scaleA: PxPoint | null;
  readonly scaleB: PxPoint | null;
  readonly scaleText: string;
  readonly plumb: Pick<Plumb, "top" | "bottom"> | null;
  readonly plumbTop: PxPoint | null;
  /** ends of scale and plumb show their handles */
  readonly showEnds: boolean;
}

const MARK_R = 9; // css px: large enough to see the shape, small enough to leave the neighbourhood free
// css px: a mark that no hand placed is four or five pieces of its outline; the halo's
// round ends take 4 of the gap
const BROKEN = [5, 9];
const TRAIL_R = 1.6;
const TRAIL_APART = 8; // css px: dots that touch would hide the airframe they follow

/**
 * Everything drawn over the picture, back to front: scale, plumb, the trails, then the marks of this frame.
 */
export function overlayPlan(input: OverlayInput): readonly OverlayItem[] {
  return [...scaleItems(input), ...plumbItems(input), ...trailItems(input), ...markItems(input)];
}

function scaleItems({
  viewport,
  scaleA,
  scaleB,
  scaleText,
  selected,
  showEnds,
}: OverlayInput): OverlayItem[] {
  const chosen = selected?.kind === "scale" ? selected.end : null;
  return rodItems({ key: "scale", viewport, a: scaleA, b: scaleB, text: scaleText, chosen, showEnds });
}

function plumbItems({ viewport, plumb, plumbTop, selected, showEnds }: OverlayInput): OverlayItem[] {
  if (plumb === null)
    return plumbTop === null ? [] : [ring("plumb-top", toScreen(viewport, plumbTop), "plumb")];
  const top = toScreen(viewport, plumb.top);
  const bottom = toScreen(viewport, plumb.bottom);
  const items: OverlayItem[] = [
    {
      kind: "lines",
      key: "plumb",
      tone: "plumb",
      closed: false,
      width: 1.5,
      dash: [7, 5],
      lines: [[top, bottom]],
    },
    { kind: "label", key: "plumb-label", tone: "plumb", at: [top[0], top[1] - 14], text: "plumb" },
  ];
  for (const [end, at] of [
    ["top", top],
    ["bottom", bottom],
  ] as const) {
    const chosen = selected?.kind === "plumb" && selected.end === end;
    if (showEnds || chosen || end === "bottom")
      items.push(ring(`plumb-${end}`, at, chosen ? "chosen" : "plumb"));
  }
  return items;
}

function trailItems({ viewport, marks, points, frame }: OverlayInput): OverlayItem[] {
  return points.flatMap((point): OverlayItem[] => {
    const own = marks.filter((mark) => mark.pointId === point.id && mark.frame < frame);
    if (own.length === 0) return [];
    const at = apart(own.map((mark) => toScreen(viewport, [mark.x, mark.y])));
    return [{ kind: "dots", key: `trail-${point.id}`, tone: "trail", at, r: TRAIL_R }];
  });
}

/** The places, newest kept first, that stand apart from each other along the trail. */
function apart(places: readonly Place[]): readonly Place[] {
  const kept: Place[] = [];
  for (const place of places.toReversed()) {
    const last = kept.at(-1);
    if (last === undefined || Math.hypot(place[0] - last[0], place[1] - last[1]) >= TRAIL_APART)
      kept.push(place);
  }
  return kept;
}

function markItems({ viewport, marks, points, frame, pointId, selected }: OverlayInput): OverlayItem[] {
  const signs = pointSigns(points);
  return marks
    .filter((mark) => mark.frame === frame)
    .flatMap((mark): OverlayItem[] => {
      const sign = signs.get(mark.pointId) as PointSign;
      const [x, y] = toScreen(viewport, [mark.x, mark.y]);
      const chosen = selected?.kind === "mark" && selected.pointId === mark.pointId;
      const tone = chosen ? "chosen" : "mark";
      const { lines, closed } = outlineOf(sign.shape, MARK_R);
      const width = mark.pointId === pointId ? 2 : 1.5;
      return [
        {
          kind: "lines",
          key: `mark-${mark.pointId}`,
          tone,
          closed,
          width,
          ...(mark.by === "follower" ? { dash: BROKEN } : {}),
          lines: lines.map((line) => line.map(([dx, dy]): Place => [x + dx, y + dy])),
        },
        { kind: "label", key: `letter-${mark.pointId}`, tone, at: [x + 16, y - 16], text: sign.letter },
      ];
    });
}
