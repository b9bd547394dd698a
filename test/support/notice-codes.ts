import type { PlanNotice } from "../../src/shared/camera-plan/plan-notices.ts";
import type { NextNotice } from "../../src/shared/next-shot/next-notices.ts";
import type { Notice } from "../../src/shared/quantity/notice.ts";
import type { ShotNotice } from "../../src/shared/results/notices/shot-notices.ts";
import type { TuneNotice } from "../../src/shared/tune/tune-notices.ts";

/*
 * Codes of notices as tests name them: the matchers of vitest take any text, these take only what a room can
 * say. A code that is mistyped, or that nothing says any more, does not compile.
 */

type Code<N extends Notice<string>> = N["code"];
type Levelled<N extends Notice<string>> = Code<N> | `${N["level"]} ${Code<N>}`;

export function ofShot<C extends Levelled<ShotNotice>>(code: C): C {
  return code;
}

export function ofNext<C extends Levelled<NextNotice>>(code: C): C {
  return code;
}

export function ofPlan<C extends Levelled<PlanNotice>>(code: C): C {
  return code;
}

export function ofTune<C extends Levelled<TuneNotice>>(code: C): C {
  return code;
}
