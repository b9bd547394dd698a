import { scoreProposals } from "../support/score-proposals.ts";
import { targetScene } from "../support/target-scene.ts";
import type { BenchPart } from "./figures.ts";

const SCENES = 40;

/** Looks for targets and hanging lines in cluttered scenes, and holds them against what was drawn. */
export function benchPropose(): BenchPart {
  const score = scoreProposals(Array.from({ length: SCENES }, (_, i) => targetScene(i + 1)));
  const { targets, foundTargets, foundLines, mostFalse, allFalse, worstPx, worstLinePx } = score;
  const share = foundTargets / targets;
  return {
    title: "Proposals in forty drawn scenes with clutter, against what was drawn",
    figures: [
      {
        what: "targets found",
        value: `${foundTargets} of ${targets}, ${(100 * share).toFixed(1)} %`,
        target: { text: "at least 95 %", met: share >= 0.95 },
      },
      {
        what: "false outlines, of targets and of lines, in the worst scene",
        value: String(mostFalse),
        target: { text: "at most 1", met: mostFalse <= 1 },
      },
      {
        what: "farthest middle of a target",
        value: `${worstPx.toFixed(3)} px`,
        target: { text: "within 0.1 px", met: worstPx < 0.1 },
      },
      { what: "false outlines in all", value: String(allFalse), target: null },
      {
        what: "errors of the middles over their stated u, rms",
        value: score.rmsOfPulls.toFixed(2),
        target: null,
      },
      { what: "hanging lines found", value: `${foundLines} of ${SCENES}`, target: null },
      { what: "farthest end of a hanging line, across", value: `${worstLinePx.toFixed(2)} px`, target: null },
    ],
    notes: ["pictures of 560 by 420 px, six targets and a hanging line in each"],
  };
}
