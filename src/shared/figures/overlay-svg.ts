import { area } from "d3-shape";
import { axisOf, spanOf } from "./axis.ts";
import { chartFoot } from "./chart-axes.ts";
import { axisHeading, LABEL_PX, nameOf, namesAtRight, PAD, pathOf, uprightTick } from "./labels-svg.ts";
import { type PanelLayout, panelLayout } from "./layout.ts";
import type { Look } from "./look.ts";
import type { Overlay, OverlayCurve, OverlayPanel } from "./overlay.ts";
import type { Plot } from "./plot.ts";
import { textWidthPx } from "./text-width.ts";
import { thinned } from "./thin.ts";
import { element } from "./xml.ts";

const HEADING = 22; // px above each panel, for its name
const FOOT = 40;
const GAP = 14;
const DIFFERENCE_SHARE = 0.32;
const LEAST_PX = 0.7;
const NAME_PX = 15; // a row for each name at the right

interface PlacedPanel extends Plot {
  readonly panel: OverlayPanel;
  readonly curves: readonly OverlayCurve[];
  readonly y: PanelLayout;
  readonly headed: boolean;
  /** Tick labels at the left, the level axis below. */
  readonly ticked: boolean;
  readonly footed: boolean;
}

/** The panels of an overlay in a width and height, px, with the axes a pointer is read by. */
export function overlayPlots(overlay: Overlay, width: number, height: number): readonly PlacedPanel[] {
  return overlay.arrangement === "over" ? over(overlay, width, height) : beside(overlay, width, height);
}

function over({ panels, x: level }: Overlay, width: number, height: number): readonly PlacedPanel[] {
  const top = PAD + HEADING;
  const bottom = Math.max(height - FOOT, top + 80);
  const below = panels.length > 1 ? DIFFERENCE_SHARE * (bottom - top) : 0;
  const split = bottom - below - (below > 0 ? HEADING + GAP : 0);
  const heights = [[top, split] as const, [bottom - below, bottom] as const];
  const places = panels.map((panel, i) => layoutOf(panel, panel.curves, ...heights[i]));
  const names = panels.flatMap(({ curves }) => curves.map(({ label }) => textWidthPx(label, LABEL_PX, true)));
  const left = Math.min(PAD + widest(places) + 8, 0.4 * width);
  const right = Math.max(left + 60, width - PAD - 10 - Math.max(0, ...names));
  const x = levelAxis(level, left, right);
  return panels.map((panel, i) => ({
    left,
    right,
    top: places[i].top,
    bottom: places[i].bottom,
    x,
    only: null,
    panel,
    curves: panel.curves,
    y: places[i],
    headed: true,
    ticked: true,
    footed: i === panels.length - 1,
  }));
}

const CELL = { gap: 16, name: 17, least: 120 } as const; // px

function beside({ panels, x: level }: Overlay, width: number, height: number): readonly PlacedPanel[] {
  const panel = panels[0];
  const reference = panel.curves.find(({ isReference }) => isReference);
  const count = panel.curves.length;
  const across = Math.max(1, Math.min(count, Math.round(Math.sqrt((count * width) / (1.5 * height)))));
  const rows = Math.ceil(count / across);
  const common = layoutOf(panel, panel.curves, 0, CELL.least);
  const left = PAD + widest([common]) + 8;
  const cellWidth = (width - PAD - left - CELL.gap * (across - 1)) / across;
  const top = PAD + HEADING + 4;
  const cellHeight = Math.max(40, (height - FOOT - top - rows * CELL.name - CELL.gap * (rows - 1)) / rows);
  return panel.curves.map((curve, i) => {
    const [row, column] = [Math.floor(i / across), i % across];
    const cellLeft = left + column * (cellWidth + CELL.gap);
    const cellTop = top + CELL.name + row * (cellHeight + CELL.name + CELL.gap);
    const [right, bottom] = [cellLeft + Math.max(40, cellWidth), cellTop + cellHeight];
    const curves = reference === undefined || reference === curve ? [curve] : [reference, curve];
    return {
      left: cellLeft,
      right,
      top: cellTop,
      bottom,
      x: levelAxis(level, cellLeft, right),
      only: curve.label,
      panel,
      curves,
      y: layoutOf(panel, panel.curves, cellTop, bottom),
      headed: i === 0,
      ticked: column === 0,
      footed: i + across >= count,
    };
  });
}

function layoutOf(panel: OverlayPanel, curves: readonly OverlayCurve[], top: number, bottom: number) {
  const lines = curves.map(({ label, points }) => ({ role: "measured", label, points }) as const);
  const bands = curves.map(({ band }) => ({ points: band.filter((point) => point.every(Number.isFinite)) }));
  return panelLayout({ ...panel, lines, bands, dots: [], callouts: [] }, top, bottom);
}

function levelAxis({ from, to }: Overlay["x"], left: number, right: number) {
  const [low, high] = spanOf([from, to]);
  return axisOf(low, high, [left, right], Math.max(2, Math.round((right - left) / 80)));
}

function widest(places: readonly PanelLayout[]): number {
  return Math.max(0, ...places.flatMap(({ axis }) => axis.ticks.map(({ text }) => textWidthPx(text, 11))));
}

/** Draws an overlay into a width and height, px. */
export function drawOverlay(overlay: Overlay, width: number, height: number, look: Look): string {
  const small = overlay.arrangement === "beside";
  return overlayPlots(overlay, width, height)
    .map((place, i, all) => {
      const { panel, curves, y } = place;
      const headingY = small ? PAD + 9 : place.top - 9;
      return [
        place.headed ? axisHeading({ ...panel, unit: y.unit }, headingY, look) : "",
        grid(place, look),
        ...curves.map((curve) => bandOf(curve, place, small && curve.label !== place.only, look)),
        ...curves.map((curve, k) => lineOf(curve, k, place, small, look)),
        small ? nameOf(place.only ?? "", place.left, place.top - 5, look.ink) : names(place, look),
        !place.footed
          ? ""
          : chartFoot(
              small && i < all.length - 1 ? { x: BARE } : overlay,
              { ...place, bottom: place.bottom },
              look,
              width,
            ),
      ].join("");
    })
    .join("");
}

const BARE = { quantity: "", symbol: "", unit: "" };

function grid({ left, right, top, y, x, ticked }: PlacedPanel, look: Look): string {
  const across = y.axis.ticks.map(({ value, text }) => {
    const py = y.axis.px(value);
    const zero = value === 0;
    const line = { x1: left, x2: right, y1: py, y2: py, stroke: zero ? look.soft : look.hairline };
    return (
      element("line", { ...line, "stroke-width": 0.8 }) + (ticked ? uprightTick(left, py, text, look) : "")
    );
  });
  const zero = x.low < 0 && x.high > 0 ? x.px(0) : null;
  const upright = { y1: top, y2: y.bottom, stroke: look.soft, "stroke-width": 0.8 };
  return [...across, zero === null ? "" : element("line", { x1: zero, x2: zero, ...upright })].join("");
}

function bandOf({ band }: OverlayCurve, { x, y }: PlacedPanel, behind: boolean, look: Look): string {
  if (behind) return "";
  const px = (point: readonly [number, number, number]) =>
    [x.px(point[0]), y.axis.px(point[1]), y.axis.px(point[2])] as const;
  const d = area<readonly [number, number, number]>()
    .defined((point) => point.every(Number.isFinite))
    .x((point) => px(point)[0])
    .y0((point) => px(point)[1])
    .y1((point) => px(point)[2])
    .digits(1)(thinned(band, px, LEAST_PX));
  return d ? element("path", { d, fill: look.measured, "fill-opacity": look.bandOpacity / 2 }) : "";
}

/** Weight first, colour second: the reference is the heavy dark one, the others thinner in turn. */
function lineOf(curve: OverlayCurve, k: number, place: PlacedPanel, small: boolean, look: Look): string {
  const behind = small && curve.label !== place.only;
  const style = curve.isReference
    ? { stroke: look.ink, "stroke-width": behind ? 0.9 : 2.4 }
    : { stroke: look.measured, "stroke-width": WIDTHS[k % WIDTHS.length] };
  const at = ([a, b]: readonly [number, number]): [number, number] => [place.x.px(a), place.y.axis.px(b)];
  const points = thinned(curve.points, (point) => at(point), LEAST_PX);
  return element("path", { d: pathOf(points, at), fill: "none", "stroke-linejoin": "round", ...style });
}

const WIDTHS = [1.7, 1, 1.35];

/** The name of each curve where it ends; none where there is no room for all of them below each other. */
function names({ curves, panel, left, right, top, bottom, x, y }: PlacedPanel, look: Look): string {
  if (curves.length * NAME_PX > bottom - top + NAME_PX && panel.curves.every((one) => !one.isReference)) {
    return "";
  }
  const named = curves.flatMap(({ label, points, isReference }) => {
    const last = points.findLast((point) => point.every(Number.isFinite));
    if (last === undefined) return [];
    const end = [x.px(last[0]), y.axis.px(last[1])] as const;
    const fill = isReference ? look.ink : look.measuredText;
    return [{ text: label, end, fill, stroke: look.soft }];
  });
  return namesAtRight(named, { right: Math.max(left, right), top, bottom }).join("");
}
