import type { BodyShape, PlaneMark } from "./body-shape.ts";
import { grossMarks, markJudge } from "./gross-marks.ts";
import type { PlaneResidual, PoseAt } from "./mark-residuals.ts";
import { residualsAsSeen } from "./row-lag.ts";

// share of all marks; beyond this the marks as a whole are in doubt, not single ones
const MOST_SET_ASIDE = 0.25;

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
  readonly #pardoned = new Set<PlaneMark>();

  constructor(all: readonly PlaneMark[]) {
    this.#all = all;
  }

  get setAside(): readonly PlaneMark[] {
    return [...this.#out];
  }

  get kept(): readonly PlaneMark[] {
    return this.#all.filter((mark) => !this.#out.has(mark));
  }

  /**
   * Sets aside what the fit cannot own; where there is nothing of the kind, takes back what was set aside and
   * the fit without it does not disown: it had only been pulled by a worse one, or judged before the motion
   * was known. A mark is taken back once, so that this ends.
   * @returns whether any mark changed sides: then the fit is to be made again
   */
  judge(fit: JudgingFit): boolean {
    const gross = grossMarks(fit.residuals);
    if (gross.length > 0 && this.#out.size + gross.length <= MOST_SET_ASIDE * this.#all.length) {
      for (const mark of gross) this.#out.add(mark);
      return true;
    }
    const innocent = this.#innocent(fit);
    for (const mark of innocent) {
      this.#out.delete(mark);
      this.#pardoned.add(mark);
    }
    return innocent.length > 0;
  }

  #innocent({ residuals, shape, directionRad, poseAt }: JudgingFit): readonly PlaneMark[] {
    const gross = markJudge(residuals);
    const frames = [...this.#out].filter((mark) => !this.#pardoned.has(mark)).map((mark) => [mark]);
    return residualsAsSeen(frames, shape, directionRad, poseAt)
      .filter((residual) => !gross(residual))
      .map(({ mark }) => mark);
  }
}
