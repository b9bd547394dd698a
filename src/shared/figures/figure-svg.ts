import type { Chart } from "./chart.ts";
import { drawChart } from "./chart-svg.ts";
import type { Figure, Panel } from "./figure.ts";
import { axisHeading, PAD, textElement } from "./labels-svg.ts";
import { type Layout, layoutOf, type PanelLayout } from "./layout.ts";
import { LOOKS, type Look, type Theme } from "./look.ts";
import type { Overlay } from "./overlay.ts";
import { drawOverlay } from "./overlay-svg.ts";
import { drawPanel } from "./panel-svg.ts";
import type { Points } from "./points.ts";
import { drawPoints } from "./points-svg.ts";
import type { Stack } from "./stack.ts";
import { drawStack } from "./stack-svg.ts";
import { textWidthPx } from "./text-width.ts";
import { element, escapeXml, rounded } from "./xml.ts";

/** px; less leaves no curve between its axis and its names. */
export const LEAST_FIGURE = { width: 240, height: 180 } as const;

export interface FigureSvgOptions {
  readonly theme: Theme;
  /** px, outer size; at least `LEAST_FIGURE`, and 14 px more for each line of a drawn caption. */
  readonly width: number;
  readonly height: number;
  /** A CSS font family list, e.g. "Inter, sans-serif". */
  readonly fontFamily: string;
  /** Whether the caption is drawn below the figure; for a file that stands alone. */
  readonly caption?: boolean;
}

/**
 * Draws a figure, a chart, an overlay, points or a stack as one standalone SVG document: no scripts, no style
 * sheet, no style attributes, no ids (so that many fit in one page), nothing fetched. Pure: the same figure
 * and options give the same string.
 * @throws RangeError when width or height is not finite or below `LEAST_FIGURE`
 */
export function figureSvg(
  figure: Figure | Chart | Stack | Overlay | Points,
  options: FigureSvgOptions,
): string {
  const { width, height, theme, fontFamily } = options;
  const least = LEAST_FIGURE;
  if (!(width >= least.width && height >= least.height && Number.isFinite(width + height))) {
    throw new RangeError(
      `figureSvg: need at least ${least.width} by ${least.height} px; got ${width} by ${height}`,
    );
  }
  const look = LOOKS[theme];
  const captionLines = options.caption === true ? wrap(figure.caption, width - 2 * PAD, 11) : [];
  const captionPx = captionLines.length === 0 ? 0 : captionLines.length * 14 + 8;
  const drawnPx = height - captionPx;
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      role: "img",
      viewBox: `0 0 ${rounded(width)} ${rounded(height)}`,
      width,
      height,
      "font-family": fontFamily,
      "font-size": 11,
      "font-variant": "tabular-nums",
      fill: look.ink,
    },
    element("title", {}, escapeXml(figure.title)),
    element("desc", {}, escapeXml(`${figure.description} ${figure.caption}`)),
    element("rect", { width, height, fill: look.paper }),
    drawn(figure, width, drawnPx, look),
    caption(captionLines, drawnPx, look),
  );
}

function drawn(
  figure: Figure | Chart | Stack | Overlay | Points,
  width: number,
  height: number,
  look: Look,
): string {
  if (figure.kind === "chart") return drawChart(figure, width, height, look);
  if (figure.kind === "overlay") return drawOverlay(figure, width, height, look);
  if (figure.kind === "points") return drawPoints(figure, width, height, look);
  if (figure.kind === "stack") return drawStack(figure, width, height, look);
  return overTime(figure, width, height, look);
}

/** A figure over time: main panel, residuals below it, the grounds of push and free flight behind both. */
function overTime(figure: Figure, width: number, height: number, look: Look): string {
  const layout = layoutOf(figure, width, height);
  return [
    axisHeading({ ...figure.main, unit: layout.main.unit }, layout.headingPx, look),
    washes(figure, layout, look),
    drawPanel(figure.main, layout.main, layout, look),
    figure.residual && layout.residual
      ? residualHeading(figure.residual, layout.residual, look) +
        drawPanel(figure.residual, layout.residual, layout, look)
      : "",
    timeAxis(layout, look),
  ].join("");
}

function residualHeading(panel: Panel, place: PanelLayout, look: Look): string {
  return textElement(
    { x: PAD, y: place.top - 9, fill: look.soft },
    panel.quantity + (place.unit === "" ? "" : `, ${place.unit}`),
  );
}

/**
 * The grounds of push and free flight behind both panels; their names stand in a strip above the main one.
 */
function washes(figure: Figure, layout: Layout, look: Look): string {
  const grounds = [{ top: layout.stripTop, bottom: layout.main.bottom }];
  if (layout.residual !== null) grounds.push(layout.residual);
  const upright = (from: number, to: number, fill: string, opacity?: number) =>
    grounds.map(({ top, bottom }) =>
      element("rect", {
        x: from,
        y: top,
        width: to - from,
        height: bottom - top,
        fill,
        "fill-opacity": opacity,
      }),
    );
  const drawn = figure.washes.flatMap((wash) => {
    const [left, right] = [layout.time.px(wash.from), layout.time.px(wash.to)];
    const isPush = wash.kind === "push";
    const at = isPush ? { x: left + 6, "text-anchor": "start" } : { x: right - 6, "text-anchor": "end" };
    const fits = right - left >= textWidthPx(wash.label, 11) + 10;
    return [
      ...upright(left, right, isPush ? look.pushWash : look.freeFlightWash),
      fits ? textElement({ ...at, y: layout.stripTop + 12, fill: look.soft }, wash.label) : "",
    ];
  });
  const release = layout.releasePx;
  if (release === null) return drawn.join("");
  const [from, to] = [layout.time.px(-figure.release.u), layout.time.px(figure.release.u)];
  const doubt = to - from > 2 ? upright(from, to, look.soft, 0.18) : [];
  const foot = (layout.residual ?? layout.main).bottom;
  const ends = { x1: release, x2: release, y1: layout.stripTop, y2: foot + 5 };
  return [...drawn, ...doubt, element("line", { ...ends, stroke: look.ink, "stroke-width": 1 })].join("");
}

function timeAxis(layout: Layout, look: Look): string {
  const foot = (layout.residual ?? layout.main).bottom;
  const base = element("line", {
    x1: layout.left,
    x2: layout.right,
    y1: foot,
    y2: foot,
    stroke: look.soft,
    "stroke-width": 1,
  });
  const ticks = layout.timeTicks.map(
    (tick) =>
      element("line", { x1: tick.px, x2: tick.px, y1: foot, y2: foot + 4, stroke: look.soft }) +
      textElement(
        {
          x: tick.px,
          y: foot + 16,
          "text-anchor": "middle",
          fill: tick.isRelease ? look.ink : look.soft,
          "font-weight": tick.isRelease ? 600 : undefined,
        },
        tick.text,
      ),
  );
  const label = element(
    "text",
    { x: layout.right, y: foot + 31, "text-anchor": "end", fill: look.soft },
    `time from release ${element("tspan", { "font-style": "italic" }, "t")}, ${escapeXml(layout.timeUnit)}`,
  );
  return element("g", {}, base, ...ticks, label);
}

function caption(lines: readonly string[], topPx: number, look: Look): string {
  return lines
    .map((line, i) => textElement({ x: PAD, y: topPx + 12 + 14 * i, fill: look.soft }, line))
    .join("");
}

function wrap(text: string, widthPx: number, fontPx: number): readonly string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    const longer = line === "" ? word : `${line} ${word}`;
    if (line !== "" && textWidthPx(longer, fontPx) > widthPx) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return line === "" ? lines : [...lines, line];
}
