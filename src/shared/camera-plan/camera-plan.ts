import type { Quantity } from "../quantity/measured.ts";
import type { BudgetLine, Headline } from "../results/shot-result.ts";
import type { CameraPlanInput } from "./plan-input.ts";
import type { PlanNotice, SeenOfShot } from "./plan-notices.ts";
import type { ChangeId } from "./single-changes.ts";

/** A single change to the set-up and what it would bring. */
export interface PlannedChange {
  readonly id: ChangeId;
  /** To follow "it helps most to". */
  readonly words: string;
  /** Why it cannot be done; null when it can. */
  readonly whyNot: string | null;
  /**
   * For each headline result the u it would have, and by what share that is less than
   * now (negative when more).
   */
  readonly headlines: Readonly<Record<Headline, { readonly u: number; readonly reduction: number }>> | null;
  /** 1, reduction in the geometric mean of the four u. */
  readonly reduction: number;
}

/** What a camera set-up will give. Plain data. */
export interface CameraPlan {
  readonly input: CameraPlanInput;
  /** What the expected shot implies. Null when no such push is possible. */
  readonly push: { readonly pushS: number; readonly peakMPerS2: number } | null;
  readonly seen: SeenOfShot | null;
  /**
   * The four headline results as they would be stated; null when the set-up cannot give them,
   * and the notices say why.
   */
  readonly headlines: Readonly<
    Record<Headline, Quantity & { readonly budget: readonly BudgetLine[] }>
  > | null;
  /** Most helpful first, those that cannot be done last. */
  readonly changes: readonly PlannedChange[];
  /** For each headline result the change that lessens its u most; null when none does by a twentieth. */
  readonly best: Readonly<Record<Headline, ChangeId | null>> | null;
  /** Plain sentences: which change helps most. Empty when there is nothing to say. */
  readonly advice: string;
  readonly notices: readonly PlanNotice[];
}
