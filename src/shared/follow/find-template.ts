import { cubicSpline } from "../numeric/cubic-spline.ts";
import { type CoarseSearch, coarseSearch } from "./coarse-search.ts";
import type { FollowStop } from "./followed.ts";
import { boxAround, type GreyImage } from "./grey-image.ts";
import { type Match, matchTemplate, type Warp } from "./match-template.ts";
import type { Template } from "./template.ts";

export interface NotFound {
  readonly why: Extract<FollowStop, "left" | "unlike" | "unsettled" | "beyond" | "two-alike" | "faded">;
  readonly number: number;
}

export type Found = { readonly match: Match } | NotFound;

// correlation at whole pixels, half a pixel off and a little turned, of what a match
// then finds at 0.8 or more
const LEAST_COARSE = 0.6;
export const LEAST_LIKENESS = 0.8; // below it a third of what is seen is not the template: 1 - 0.8²
/**
 * Of the template's contrast: less is not the point, or nothing to place it by; a texture that is
 * like it by chance has less.
 */
export const LEAST_GAIN = 0.35;
const SURE_COARSE = 0.75; // no need to look farther
const RIVAL = 0.85; // of the best place's correlation: worth a match of its own
const AS_ALIKE = 0.04; // of correlation between two matches: what a turn, blur or noise costs either
/** A template, and whether it tells how far it has turned. */
export interface Sought {
  readonly template: Template;
  readonly turns: boolean;
}

const SURROUND = 14; // samples about the piece that its spline is made from
const SETTLED_PX = 1e-3; // a thirtieth of the least u a place is given
const WIDER = 3; // times, from one search to the next

/**
 * Finds a template in a picture: normalised cross-correlation in a window about each place where it may be,
 * the likeliest first, then a match from the best; in wider windows where the narrow ones hold nothing like
 * it. Where another place in the window is nearly as like, both are matched.
 * @param near samples the first windows reach  @param most samples the last one reaches
 */
export function findTemplate(
  sought: Sought,
  image: GreyImage,
  expected: readonly Warp[],
  near: number,
  most: number,
): Found {
  const [likeliest] = expected;
  let spoilt: NotFound | null = null;
  let left = coarseSearch(sought.template, image, [likeliest.x, likeliest.y], likeliest.theta, 0) === null;
  for (let reach = Math.min(near, most); ; reach = Math.min(most, WIDER * reach)) {
    const least = reach === most ? LEAST_COARSE : SURE_COARSE;
    const windows = windowsAt(sought, image, reach <= near ? expected : [likeliest], reach, least);
    // A wide window is cut by the picture's edge however far inside the point is.
    left ||= reach <= near && windows.some((one) => one.why === "left");
    const found = windows.flatMap((one) => ("match" in one ? [one.match] : []));
    // The likeliest place wins unless another is more like: then it has stopped, or turned about.
    const [first] = found;
    const match = first && found.reduce((a, b) => (b.likeness > a.likeness + AS_ALIKE ? b : a), first);
    if (match !== undefined) return { match };
    const alike = windows.find((one) => one.why === "two-alike");
    if (alike !== undefined) return alike as NotFound;
    // Where it was expected it may be this that is left of it; farther off it is something else.
    if (reach <= near) spoilt = (windows.find((one) => SPOILT.has(one.why)) as NotFound | undefined) ?? null;
    if (reach === most)
      return spoilt ?? (left ? { why: "left", number: 0 } : { why: "beyond", number: most });
  }
}

type InWindow = { readonly why: "found"; readonly match: Match } | NotFound;

/** What the windows about some places hold, up to one with a match that none could be more like than. */
function windowsAt(
  sought: Sought,
  image: GreyImage,
  places: readonly Warp[],
  reach: number,
  least: number,
): readonly InWindow[] {
  const windows: InWindow[] = [];
  for (const place of places) {
    const window = inWindow(sought, image, place, reach, least);
    windows.push(window);
    if ("match" in window && window.match.likeness + AS_ALIKE >= 1) break;
  }
  return windows;
}

/** In one window: the match; or that nothing there is like it, or that it may lie outside the picture. */
function inWindow(
  sought: Sought,
  image: GreyImage,
  { x, y, theta }: Warp,
  reach: number,
  least: number,
): InWindow {
  const coarse = coarseSearch(sought.template, image, [x, y], theta, reach);
  if (coarse === null || coarse.onEdge || coarse.best.likeness < least) {
    return { why: coarse?.onEdge === true && coarse.cut ? "left" : "beyond", number: 0 };
  }
  const found = bestOf(sought, image, theta, coarse);
  return "match" in found ? { why: "found", ...found } : found;
}

const SPOILT: ReadonlySet<string> = new Set(["unsettled", "unlike", "faded"]);

function bestOf(sought: Sought, image: GreyImage, theta: number, { best, second }: CoarseSearch): Found {
  const first = matchNear(sought, image, { x: best.x, y: best.y, theta });
  if (first === null) return { why: "unsettled", number: best.likeness };
  if (first.likeness < LEAST_LIKENESS) return { why: "unlike", number: first.likeness };
  if (first.gain < LEAST_GAIN) return { why: "faded", number: first.gain };
  if (second === null || second.likeness < RIVAL * best.likeness) return { match: first };
  const other = matchNear(sought, image, { x: second.x, y: second.y, theta });
  if (other === null || other.gain < LEAST_GAIN || other.likeness < first.likeness - AS_ALIKE)
    return { match: first };
  return { why: "two-alike", number: Math.hypot(other.x - first.x, other.y - first.y) };
}

/** The robust match from a start; null when it does not settle near it. */
export function matchNear({ template, turns }: Sought, image: GreyImage, start: Warp): Match | null {
  const { radius } = template;
  const box = boxAround(image, [start.x, start.y], radius + SURROUND);
  if (box === null) return null;
  const match = matchTemplate(template, cubicSpline(image, box), start, {
    robust: true,
    turns,
    tolerance: SETTLED_PX,
  });
  if (!match.ok) return null;
  // Farther than a third of the piece from where the search saw it, it has run away.
  return Math.hypot(match.value.x - start.x, match.value.y - start.y) <= radius / 3 ? match.value : null;
}
