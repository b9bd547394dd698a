import { followPoint } from "../../src/shared/follow/follow-point.ts";
import { marksOf } from "../../src/shared/follow/follow-words.ts";
import { compressed } from "../clips/compressed.ts";
import { HARD_CASES, type HardCase } from "../clips/hard-cases.ts";
import { carriedBy, filmed } from "../clips/hard-scene.ts";
import { type HardScore, hardScore, scoreLine, scoresInAll } from "../clips/hard-score.ts";
import type { BenchPart } from "./figures.ts";

const HAND_U = 0.3;

/**
 * Follows the drawn hard cases, compressed as each says, from one hand mark and holds every mark against the
 * place that was drawn.
 */
export function benchHard(ffmpegPath: string): BenchPart {
  const scores = HARD_CASES.map((one) => scored(one, ffmpegPath));
  const all = scoresInAll(scores);
  return {
    title: "Following through drawn hard cases, against the true places",
    figures: [
      ...scores.map((score) => ({ what: score.name, value: scoreLine(score), target: null })),
      {
        what: "marks over 1 px off without a doubt",
        value: `${all.silent} of ${all.marks}`,
        target: { text: "none", met: all.silent === 0 },
      },
      {
        what: "frames that show the point, followed",
        value: `${all.followedPercent.toFixed(1)} %`,
        target: null,
      },
      { what: "median error of the cases, median", value: `${all.medianPx.toFixed(3)} px`, target: null },
      { what: "rms error over stated u, within 0.8 to 1.25", value: all.inU, target: null },
    ],
    notes: ["errors are about their mean, which is what the hand mark and its picture are off"],
  };
}

function scored(one: HardCase, ffmpegPath: string): HardScore {
  const drawn = filmed(one);
  const images = one.mbit === null ? drawn : compressed(ffmpegPath, drawn, one.mbit);
  const [right, down] = one.handOff ?? [0, 0];
  const begin = Array.from({ length: one.frames }, (_, k) => k).find(one.seen) ?? 0;
  const [x, y] = carriedBy(one.pose(begin), one.points[0]!);
  const frames = Array.from({ length: one.frames - 1 - begin }, (_, i) => begin + 1 + i);
  const seed = { frame: begin, at: [x + right, y + down] as const, u: HAND_U };
  const followed = followPoint((k) => images[k]!, seed, frames, [], { exposureShare: one.exposure });
  const { end } = followed;
  return hardScore(one, marksOf(followed), end === null ? "" : `${end.why} in ${end.frame}`);
}
