import { line as polyline } from "d3-shape";
import type { XY } from "./figure.ts";
import type { Look } from "./look.ts";
import { type Box, spread } from "./place-labels.ts";
import { textWidthPx } from "./text-width.ts";
import { type Attributes, element, escapeXml } from "./xml.ts";

/** From the edge of a figure to what is drawn in it, px. */
export const PAD = 14;
/** Size of the names of curves and of the values that stand on them, px. */
export const LABEL_PX = 11.5;
const LINE_GAP = 15; // px between the middles of two names at the right

/** Plain text as one element. */
export function textElement(attributes: Attributes, text: string): string {
  return element("text", attributes, escapeXml(text));
}

/** "Speed v, m/s": the title of the upright axis and the heading of the figure in one. */
export function axisHeading(
  { quantity, symbol, unit }: { readonly quantity: string; readonly symbol: string; readonly unit: string },
  y: number,
  look: Look,
): string {
  return element(
    "text",
    { x: PAD, y, "font-size": 13.5, "font-weight": 600 },
    escapeXml(quantity),
    symbol === ""
      ? ""
      : ` ${element("tspan", { "font-style": "italic", "font-weight": 400 }, escapeXml(symbol))}`,
    unit === "" ? "" : element("tspan", { "font-weight": 400, fill: look.soft }, escapeXml(`, ${unit}`)),
  );
}

/** The number beside a tick of the upright axis. */
export function uprightTick(left: number, y: number, text: string, look: Look): string {
  return textElement({ x: left - 7, y: y + 4, "text-anchor": "end", fill: look.soft }, text);
}

/** Room that a label takes, px. */
export function labelSize(text: string): { readonly width: number; readonly height: number } {
  return { width: textWidthPx(text, LABEL_PX, true) + 8, height: 16 };
}

/** The name of a curve. */
export function nameOf(text: string, x: number, y: number, fill: string): string {
  return textElement({ x, y, fill, "font-size": LABEL_PX, "font-weight": 600 }, text);
}

/** A value in its box, with a rim of paper that keeps it readable where a hairline runs under it. */
export function valueIn(box: Box, text: string, look: Look): string {
  return textElement(
    {
      x: box.x + 4,
      y: box.y + 12,
      "font-size": LABEL_PX,
      "font-weight": 600,
      stroke: look.paper,
      "stroke-width": 3,
      "stroke-opacity": 0.75,
      "stroke-linejoin": "round",
      "paint-order": "stroke",
    },
    text,
  );
}

/** A line's name, where the line ends, and the colours of the name and of the hairline to it. */
export interface EndName {
  readonly text: string;
  readonly end: readonly [number, number];
  readonly fill: string;
  readonly stroke: string;
}

/** Names at the right of lines, set apart from each other; a hairline leads to one that had to move. */
export function namesAtRight(
  names: readonly EndName[],
  { right, top, bottom }: { readonly right: number; readonly top: number; readonly bottom: number },
): readonly string[] {
  const middles = spread(
    names.map(({ end }) => end[1]),
    LINE_GAP,
    top + 6,
    bottom - 6,
  );
  return middles.flatMap((y, i) => {
    const name = names[i];
    if (name === undefined) return [];
    const [endX, endY] = name.end;
    const drawn = nameOf(name.text, right + 7, y + 4, name.fill);
    if (Math.abs(y - endY) <= 3 && endX >= right - 3) return [drawn];
    const d = `M${Math.round(endX)},${Math.round(endY)}L${Math.round(right + 5)},${Math.round(y)}`;
    return [element("path", { d, fill: "none", stroke: name.stroke, "stroke-width": 0.8 }), drawn];
  });
}

/** The path through points of the figure, to a tenth of a px; broken where one is not finite. */
export function pathOf(points: readonly XY[], at: (xy: XY) => [number, number]): string {
  return (
    polyline<XY>()
      .defined((point) => point.every(Number.isFinite))
      .x((point) => at(point)[0])
      .y((point) => at(point)[1])
      .digits(1)(points) ?? ""
  );
}
