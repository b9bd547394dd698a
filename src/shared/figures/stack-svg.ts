import { axisOf, spanOf } from "./axis.ts";
import { chartFoot } from "./chart-axes.ts";
import { axisHeading, PAD } from "./labels-svg.ts";
import { type PanelLayout, panelLayout } from "./layout.ts";
import type { Look } from "./look.ts";
import { drawPanel } from "./panel-svg.ts";
import type { Stack } from "./stack.ts";
import { textWidthPx } from "./text-width.ts";
import { element } from "./xml.ts";

const HEADING = 22; // px above each panel, for its name
const FOOT = 40;
const GAP = 12;
const LEAST_PX = 40;
const INSTANT_DASHES = "3 3";

/** Draws the panels of a stack into a width and height, px: equal heights, one level axis below the last. */
export function drawStack(stack: Stack, width: number, height: number, look: Look): string {
  const { panels } = stack;
  const room = height - FOOT - PAD - GAP * (panels.length - 1);
  const each = Math.max(LEAST_PX, room / panels.length - HEADING);
  const places = panels.map((panel, i): PanelLayout => {
    const top = PAD + HEADING + i * (each + HEADING + GAP);
    return panelLayout(panel, top, top + each);
  });
  const ticks = places.flatMap(({ axis }) => axis.ticks.map(({ text }) => textWidthPx(text, 11)));
  const left = Math.min(PAD + Math.max(0, ...ticks) + 8, 0.4 * width);
  const right = width - PAD - 10;
  const bottom = places.at(-1)?.bottom ?? height - FOOT;
  const [low, high] = spanOf([stack.x.from, stack.x.to]);
  const x = axisOf(low, high, [left, right], Math.max(2, Math.round((right - left) / 80)));
  const level = { left, right, time: x, releasePx: null };
  return [
    ...places.map((place) => instants(stack, place, x.px, look)),
    ...panels.map((panel, i) => {
      const place = places[i];
      const heading = axisHeading({ ...panel, unit: place.unit }, place.top - 8, look);
      return heading + drawPanel(panel, place, level, look);
    }),
    chartFoot(stack, { left, right, bottom, x }, look),
  ].join("");
}

function instants(
  { instants: all }: Stack,
  { top, bottom }: PanelLayout,
  px: (value: number) => number,
  look: Look,
): string {
  const upright = { y: top, height: bottom - top };
  return all
    .map(({ at, half }) => {
      const [from, to, middle] = [px(at - half), px(at + half), px(at)];
      const open = { x: from, width: to - from, ...upright, fill: look.soft, "fill-opacity": 0.18 };
      const line = { x1: middle, x2: middle, y1: top, y2: bottom, stroke: look.soft, "stroke-width": 1 };
      return (
        (to - from > 2 ? element("rect", open) : "") +
        element("line", { ...line, "stroke-dasharray": INSTANT_DASHES })
      );
    })
    .join("");
}
