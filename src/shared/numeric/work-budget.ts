/**
 * How much work a computation may take. Work is counted in evaluations of a model's equations, which take
 * about a microsecond to ten, so that the same document is refused at the same place on every machine.
 */
export interface WorkBudget {
  /** Evaluations allowed, those of budgets within this one included. */
  readonly evaluations: number;
  /**
   * Asked now and then: true when whoever waits has waited long enough, or does not want the answer any more.
   */
  readonly isOver?: () => boolean;
}

/** What work under a budget came to: its value, or what ran out. */
export type Worked<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly why: "evaluations" | "time" };

interface Running {
  left: number;
  readonly isOver: (() => boolean) | undefined;
  readonly outer: Running | null;
}

/** Ends work whose budget is used up; only `withinBudget` catches it, and only for its own budget. */
class WorkExceeded extends Error {
  readonly of: Running;
  readonly why: "evaluations" | "time";
  constructor(of: Running, why: "evaluations" | "time") {
    super(`the work took more ${why} than it may`);
    this.name = "WorkExceeded";
    this.of = of;
    this.why = why;
  }
}

/*
 * The budget is around the work, not an argument of it: what spends it is eight calls deep, in code
 * that has no business with who waits. Nothing here is asynchronous, so the budget in force is always
 * that of the innermost call.
 */
let inForce: Running | null = null;
let untilAsked = 0;
const ASK_EVERY = 2000; // evaluations: some milliseconds

/**
 * Runs work under a budget; what it spends also counts in the budgets around it. Work that uses up its own
 * budget ends there and then; when one around it is used up, that one's work ends.
 * @throws RangeError for a budget of 0 or less; whatever the work throws
 */
export function withinBudget<T>({ evaluations, isOver }: WorkBudget, work: () => T): Worked<T> {
  if (!(evaluations > 0)) throw new RangeError(`withinBudget: need a budget above 0; got ${evaluations}`);
  const own: Running = { left: evaluations, isOver, outer: inForce };
  inForce = own;
  try {
    return { ok: true, value: work() };
  } catch (error) {
    if (error instanceof WorkExceeded && error.of === own) return { ok: false, why: error.why };
    throw error;
  } finally {
    inForce = own.outer;
  }
}

/**
 * Counts evaluations against the budgets in force; without one it costs nothing. Does not
 * return when one is used up.
 */
export function spend(evaluations: number): void {
  if (inForce === null) return;
  untilAsked -= evaluations;
  const asks = untilAsked <= 0;
  if (asks) untilAsked = ASK_EVERY;
  for (let one: Running | null = inForce; one !== null; one = one.outer) {
    one.left -= evaluations;
    if (one.left < 0) throw new WorkExceeded(one, "evaluations");
    if (asks && one.isOver?.() === true) throw new WorkExceeded(one, "time");
  }
}
