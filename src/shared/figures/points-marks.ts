import type { Look } from "./look.ts";
import type { Shape } from "./points.ts";
import { element } from "./xml.ts";

/** From the middle of a mark to its edge, px. */
export const MARK_PX = 5;

/** A mark about its middle, px. Open ones are filled with paper, so that no line is read through them. */
export function markSvg(shape: Shape, cx: number, cy: number, look: Look): string {
  const open = shape === "ring" || !(shape === "disc" || shape.startsWith("full"));
  const style = { fill: open ? look.paper : look.measured, stroke: look.measured, "stroke-width": 1.6 };
  if (shape === "ring" || shape === "disc") return element("circle", { cx, cy, r: 3.9, ...style });
  const corners = CORNERS[shape.replace("full ", "") as keyof typeof CORNERS];
  const d = corners.map(([x, y], i) => `${i === 0 ? "M" : "L"}${px(cx + x)},${px(cy + y)}`).join("");
  return element("path", { d: `${d}Z`, ...style });
}

const CORNERS = {
  square: [
    [-3.6, -3.6],
    [3.6, -3.6],
    [3.6, 3.6],
    [-3.6, 3.6],
  ],
  triangle: [
    [0, -4.6],
    [4.5, 3.4],
    [-4.5, 3.4],
  ],
  diamond: [
    [0, -4.9],
    [4.9, 0],
    [0, 4.9],
    [-4.9, 0],
  ],
} as const;

function px(at: number): number {
  return Math.round(at * 10) / 10;
}
