import { correlatedCovariance, type WarpCovariance } from "./match-covariance.ts";
import type { Match } from "./match-template.ts";
import type { Template } from "./template.ts";
import { tileCovariance } from "./tile-covariance.ts";

/** Share of the weight that a robust match takes away where nothing but noise and compression differs. */
const USUAL_LOSS = 0.06;
/**
 * px, for each unit of weight lost beyond that: what still counts of a glint, of smoke or of the scene
 * behind a ball draws the place its way. Set on drawn clips: a glint that wanders over a target takes 0.1
 * to 0.24 and moves the place by 0.26 px, the scene about a ball 0.08 to 0.2 and 0.1 px; no published
 * source.
 */
const PULL_PX = 0.8;

/**
 * Covariance of a match: by what it leaves sample by sample, or by what parts of the disc say of the place
 * where they disagree by more than that; and what the samples that do not fit may still draw it by.
 */
export function placeCovariance(template: Template, match: Match): WarpCovariance {
  const bySamples = correlatedCovariance(template, match);
  const byTiles = tileCovariance(template, match);
  const larger =
    byTiles !== null && byTiles[0] + byTiles[4] > bySamples[0] + bySamples[4] ? byTiles : bySamples;
  const variance = pullPx(match) ** 2;
  return larger.map((one, at) => (at === 0 || at === 4 ? one + variance : one));
}

/** px by which what does not fit may draw a match aside, in each coordinate. */
export function pullPx({ weights }: Match): number {
  const counted = weights.reduce((sum, one) => sum + one, 0);
  return PULL_PX * Math.max(0, 1 - counted / weights.length - USUAL_LOSS);
}
