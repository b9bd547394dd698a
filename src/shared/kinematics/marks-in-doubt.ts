import type { BodyShape, PlaneMark } from "./body-shape.ts";
import { grossMarks, markJudge } from "./gross-marks.ts";
import type { PlaneResidual, PoseAt } from "./mark-residuals.ts";
import { residualsAsSeen } from "./row-lag.ts";

// share of all marks; beyond this the marks as a whole are in doubt, not single ones
const MOST_SET_ASIDE = 0.25;
const MOST_WITH_RUNS = 0.35; // a run is the clearer the longer it is

/** A fitted motion as marks are judged by it. */
export interface JudgingFit {
  /** Of the marks that are in the fit, as they were seen. */
  readonly residuals: readonly PlaneResidual[];
  readonly shape: BodyShape;
  readonly directionRad: number;
  readonly poseAt: PoseAt;
}

/** Which marks of a shot are in the fit and which are set aside, as one fit after another judges them. */
export class MarksInDoubt {
  readonly #all: readonly PlaneMark[];
  readonly #out = new Set<PlaneMark>();
  /** Not to be taken back: taken back before, or of a run, whose marks are judged together. */
  readonly #settled = new Set<PlaneMark>();

  readonly #most: { readonly alone: number; readonly withRuns: number };

  /** @param atFirst set aside before any fit, beside those that fits may set aside */
  constructor(all: readonly PlaneMark[], atFirst: readonly PlaneMark[]) {
    this.#all = all;
    for (const mark of atFirst) this.#out.add(mark);
    this.#most = {
      alone: atFirst.length + MOST_SET_ASIDE * all.length,
      withRuns: atFirst.length + MOST_WITH_RUNS * all.length,
    };
  }

  get setAside(): readonly PlaneMark[] {
    return [...this.#out];
  }

  get kept(): readonly PlaneMark[] {
    return this.#all.filter((mark) => !this.#out.has(mark));
  }

  /**
   * Sets aside what the fit cannot own: first marks that stand alone, then a run of marks that are off
   * together, then the rest. Where there is nothing of the kind, takes back what was set aside by itself and
   * the fit without it does not disown: it had only been pulled by a worse one, or judged before the motion
   * was known. A mark is taken back once, so that this ends.
   * @param run looks for a run
   * @returns whether any mark changed sides: then the fit is to be made again
   */
  judge(fit: JudgingFit, run: () => readonly PlaneMark[] | null): boolean {
    if (this.#setAside(grossMarks(fit.residuals, true), this.#most.alone)) return true;
    const together = run() ?? [];
    if (this.#setAside(together, this.#most.withRuns)) {
      for (const mark of together) this.#settled.add(mark);
      return true;
    }
    if (this.#setAside(grossMarks(fit.residuals), this.#most.alone)) return true;
    const innocent = this.#innocent(fit);
    for (const mark of innocent) {
      this.#out.delete(mark);
      this.#settled.add(mark);
    }
    return innocent.length > 0;
  }

  #setAside(marks: readonly PlaneMark[], most: number): boolean {
    if (marks.length === 0 || this.#out.size + marks.length > most) return false;
    for (const mark of marks) this.#out.add(mark);
    return true;
  }

  #innocent({ residuals, shape, directionRad, poseAt }: JudgingFit): readonly PlaneMark[] {
    const gross = markJudge(residuals);
    const frames = [...this.#out].filter((mark) => !this.#settled.has(mark)).map((mark) => [mark]);
    return residualsAsSeen(frames, shape, directionRad, poseAt)
      .filter((residual) => !gross(residual))
      .map(({ mark }) => mark);
  }
}
