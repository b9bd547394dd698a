import type { Figure } from "../../shared/figures/figure.ts";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import type { Stack } from "../../shared/figures/stack.ts";
import { type Html, html, trusted } from "./html.ts";

export const FIGURE_FONTS = `Inter, "Helvetica Neue", Arial, sans-serif`;

/** The figures of a shot as they stand in the report: speed across the page, the others in pairs below it. */
export function figuresHtml(figures: readonly Figure[]): Html | null {
  if (figures.length === 0) return null;
  const order = [...figures.filter((f) => f.kind === "speed"), ...figures.filter((f) => f.kind !== "speed")];
  return html`<div class="figures">${order.map((figure) => {
    const isWide = figure.kind === "speed";
    const [width, height] = isWide ? [720, 360] : [352, 286];
    const svg = figureSvg(figure, { theme: "print", width, height, fontFamily: FIGURE_FONTS });
    return html`<figure class="${isWide ? "wide" : "half"}">${trusted(svg)}<figcaption>${
      isWide ? figure.caption : shortCaption(figure)
    }</figcaption></figure>`;
  })}</div>`;
}

/** The path that nobody steers, across the page. */
export function pathHtml(path: Stack | null): Html | null {
  if (path === null) return null;
  const svg = figureSvg(path, { theme: "print", width: 720, height: 260, fontFamily: FIGURE_FONTS });
  return html`<div class="figures"><figure class="wide">${trusted(svg)}<figcaption>${path.caption}</figcaption></figure></div>`;
}

/** The caption of a small figure: what the wide one above it has said already is left out. */
function shortCaption(figure: Figure): string {
  if (figure.main.dots.length > 0) return "Dots: the pose in one frame, before the fit. The rest as above.";
  return "Lines and bands as above.";
}
