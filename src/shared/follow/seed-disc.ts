import type { Sought } from "./find-template.ts";
import type { GreyImage } from "./grey-image.ts";
import { seedDetail } from "./seed-detail.ts";
import { isShading, smoothnessOf } from "./shading.ts";
import { templateAt } from "./template.ts";

/**
 * px, of the discs that are tried about a mark, the smallest first: a target of 35 to 60 mm in a field of 2
 * to 3 m is 20 to 30 px across on a 1080p picture, twice that on a 4K one.
 */
export const RADII_PX = [12, 14, 16, 18, 20, 23, 26, 29, 32, 35, 38, 42] as const;

type NoDisc = "edge" | "no-detail" | "shaded";

/**
 * Takes the disc about a mark that is to be followed: of the given radius, or the smallest that fixes a
 * place and shows more than shading. Where it took a larger one to do so, the outline of the body fixes the
 * place, with as little about it as may be: what else lies in the disc, the scene behind, tells of another
 * motion and least of all how far the body has turned, so that the turn is then held.
 * @returns why there is none: it would reach over the picture's edge; nothing in it fixes a place; it is no
 *   more than shading
 */
export function seedDisc(
  image: GreyImage,
  middle: readonly [number, number],
  radiusPx: number | null,
): Sought | NoDisc {
  const [smallest] = RADII_PX;
  let why: NoDisc = "edge";
  for (const radius of radiusPx === null ? RADII_PX : [radiusPx]) {
    const disc = discOf(image, middle, radius);
    if (typeof disc !== "string")
      return radius > smallest && radiusPx === null ? { ...disc, turns: false } : disc;
    // The largest that lies in the picture says why; only where none does, it is the edge.
    if (disc === "edge") break;
    why = disc;
  }
  return why;
}

function discOf(image: GreyImage, middle: readonly [number, number], radius: number): Sought | NoDisc {
  const template = templateAt(image, middle, radius);
  if (template === null) return "edge";
  const detail = seedDetail(image, template);
  if (detail === "none") return "no-detail";
  if (isShading(smoothnessOf(template))) return "shaded";
  return { template, turns: detail === "place-and-turn" };
}
