/**
 * How a shot may run otherwise than the launcher's others, for reasons that stand in no input: "speed",
 * all of it quicker by as much; "early", quicker at first and no other at release, as with a valve that
 * opened sooner or friction that let go later. Sizes are relative speeds, standard deviations from shot
 * to shot.
 */
export const TERM_NAMES = ["speed", "early"] as const;
export type TermName = (typeof TERM_NAMES)[number];
export type TermSizes = Readonly<Record<TermName, number>>;
export const NO_TERMS: TermSizes = { speed: 0, early: 0 };

/**
 * s by which a shot that is quicker by a relative speed of 1 is ahead at a time of the model, and the
 * relative speed by which it is quicker there. For "speed" t and 1; for "early" the integral of (1 + cos
 * π(1 + t/T))/2 from release on, which falls from 1 at the start of the push to 0 at its end, and is 0
 * after it.
 * @param fromExitS s, model time less that of the end of the push  @param pushS s, T
 */
export function aheadOf(
  name: TermName,
  fromExitS: number,
  pushS: number,
): { aheadS: number; quicker: number } {
  if (name === "speed") return { aheadS: fromExitS, quicker: 1 };
  const t = Math.max(-pushS, Math.min(0, fromExitS));
  const turn = Math.PI * (1 + t / pushS);
  return {
    aheadS: (t + (pushS / Math.PI) * Math.sin(turn)) / 2,
    quicker: t === fromExitS ? (1 + Math.cos(turn)) / 2 : 0,
  };
}
