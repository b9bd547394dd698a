import type { GreyImage } from "./grey-image.ts";
import { whiteCovariance } from "./match-covariance.ts";
import { matchTemplate } from "./match-template.ts";
import { noiseOf, unlikeAround } from "./picture-noise.ts";
import type { Template } from "./template.ts";

/** What a template fixes: a place, and a turn; or only a place, as a round spot does; or neither. */
export type SeedDetail = "place-and-turn" | "place" | "none";

// sum of squares of the cardinal cubic spline's slopes at the samples: noise of variance 1 has slopes of this
const SLOPE_OF_NOISE = 1.392;
// times what noise alone would look like, which scatters by a tenth in a disc of 450 samples
const ABOVE_NOISE = 4;
// grey level: rounding to whole levels is 0.29, and a drawn or well denoised picture holds no less
const LEAST_NOISE = 0.5;
// of the information on the place, that on the turn, at the root mean square distance from the middle:
// less, and
// it is a round outline with a speck on it, which a match then turns this way and that
const LEAST_TURNING = 0.05;
const LOOSEST_PX = 0.25; // in the looser direction; what moves by more under noise is not worth following

/**
 * Judges a template in the picture it was taken from: whether its slopes hold more than noise does. The
 * information on a place (the inverse of the match's covariance) must be four times what slopes of noise
 * alone would feign, along the looser direction; that on the turn as well. The noise is taken from the
 * quietest quarter of the second differences, which edges do not reach.
 * Source: Immerkær, Comput. Vis. Image Underst. 64:300 (1996), for the mask; the
 * quartile in place of its mean.
 */
export function seedDetail(image: GreyImage, template: Template): SeedDetail {
  const noise = Math.max(LEAST_NOISE, noiseAround(image, template));
  const feigned = ABOVE_NOISE * SLOPE_OF_NOISE * noise ** 2;
  const turning = uncertainty(template, noise, true);
  const around = template.dx.reduce((sum, x, i) => sum + x * x + template.dy[i] ** 2, 0);
  if (turning !== null && fixes(turning.px, noise, feigned * template.dx.length)) {
    const told = noise ** 2 / turning.turn ** 2 / around;
    const ofPlace = noise ** 2 / turning.px ** 2 / template.dx.length;
    if (told >= feigned && told >= LEAST_TURNING * ofPlace) return "place-and-turn";
  }
  const held = uncertainty(template, noise, false);
  return held !== null && fixes(held.px, noise, feigned * template.dx.length) ? "place" : "none";
}

function fixes(px: number, noise: number, feigned: number): boolean {
  return px <= LOOSEST_PX && noise ** 2 / px ** 2 >= feigned;
}

/**
 * What noise does to a match of the template with its own picture: px along the looser direction, and rad.
 */
function uncertainty(template: Template, noise: number, turns: boolean) {
  const [x, y] = template.middle;
  const own = matchTemplate(template, template.spline, { x, y, theta: 0 }, { turns });
  if (!own.ok) return null;
  const c = whiteCovariance(own.value, noise);
  const [xx, xy, yy] = [c[0], c[1], c[4]];
  const larger = (xx + yy) / 2 + Math.hypot((xx - yy) / 2, xy);
  return { px: Math.sqrt(larger), turn: Math.sqrt(c[8]) };
}

/** Grey levels of noise about a template's middle. */
function noiseAround(image: GreyImage, { dx, dy, middle }: Template): number {
  const left: number[] = [];
  dx.forEach((ox, i) => {
    const [x, y] = [middle[0] + ox, middle[1] + dy[i]];
    if (x < 1 || y < 1 || x > image.width - 2 || y > image.height - 2) return;
    left.push(unlikeAround(image, x, y));
  });
  return noiseOf(left);
}
