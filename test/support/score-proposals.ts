import { findHangingLines, type HangingLine } from "../../src/shared/propose/find-hanging-lines.ts";
import { findTargets } from "../../src/shared/propose/find-targets.ts";
import type { TargetScene } from "./target-scene.ts";

/** How well what is drawn in scenes is found, and what else is. */
export interface ProposalScore {
  readonly scenes: number;
  readonly targets: number;
  readonly foundTargets: number;
  readonly foundLines: number;
  /** False outlines of either kind: in the scene with most of them, and in all. */
  readonly mostFalse: number;
  readonly allFalse: number;
  /** px, of a found middle from the drawn one. */
  readonly worstPx: number;
  /** px, across, of an end of a found line from the drawn line. */
  readonly worstLinePx: number;
  /** Of the middles' errors over their stated u. */
  readonly rmsOfPulls: number;
}

const SAME_PX = 2;

export function scoreProposals(scenes: readonly TargetScene[]): ProposalScore {
  let [targets, foundTargets, foundLines, worstPx, worstLinePx] = [0, 0, 0, 0, 0];
  const falseOnes: number[] = [];
  const pulls: number[] = [];
  for (const scene of scenes) {
    const all = findTargets(scene.image);
    const lines = findHangingLines(scene.image);
    const own = scene.targets.flatMap((drawn) => {
      const one = all.find(
        ({ kind, at }) =>
          kind === drawn.kind && Math.hypot(at[0] - drawn.at[0], at[1] - drawn.at[1]) < SAME_PX,
      );
      if (one === undefined) return [];
      const off = [one.at[0] - drawn.at[0], one.at[1] - drawn.at[1]] as const;
      worstPx = Math.max(worstPx, Math.hypot(...off));
      pulls.push(off[0] / one.uPx, off[1] / one.uPx);
      return [one];
    });
    const line = lines.find((one) => offLine(one, scene.line) < SAME_PX);
    if (line !== undefined) worstLinePx = Math.max(worstLinePx, offLine(line, scene.line));
    targets += scene.targets.length;
    foundTargets += own.length;
    foundLines += line === undefined ? 0 : 1;
    falseOnes.push(all.length - own.length + lines.length - (line === undefined ? 0 : 1));
  }
  return {
    scenes: scenes.length,
    targets,
    foundTargets,
    foundLines,
    mostFalse: Math.max(...falseOnes),
    allFalse: falseOnes.reduce((sum, n) => sum + n, 0),
    worstPx,
    worstLinePx,
    rmsOfPulls: Math.sqrt(pulls.reduce((sum, one) => sum + one * one, 0) / pulls.length),
  };
}

function offLine({ top, bottom }: HangingLine, drawn: TargetScene["line"]): number {
  const xAt = (y: number) =>
    drawn.top[0] + ((drawn.bottom[0] - drawn.top[0]) * (y - drawn.top[1])) / (drawn.bottom[1] - drawn.top[1]);
  return Math.max(Math.abs(xAt(top[1]) - top[0]), Math.abs(xAt(bottom[1]) - bottom[0]));
}
