import { chiSquareTail } from "../numeric/chi-square.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import type { LikelyCause, ResidualReading } from "../results/shot-result.ts";
import { type CauseFamily, type CauseFit, fitCause, type SeenPush, type StatedModel } from "./cause-fit.ts";
import { modelStateAt } from "./model-motion.ts";

/** Something that may be otherwise than stated, and the model's motion when it is. */
export interface ResidualCause {
  readonly code: string;
  readonly family: CauseFamily;
  /** Names of the stated inputs that this cause is about: their own u then does not count twice. */
  readonly inputs: readonly string[];
  /** Standard uncertainty of the size by what was stated or tuned; left out where nothing was. */
  readonly statedU?: number | undefined;
  /** Whether one of them is a guess of the program: nobody stated it, so nothing contradicts it. */
  readonly guessed?: boolean | undefined;
  /** The size as a person reads it. */
  readonly shown: (size: Measured) => { readonly size: Measured; readonly unit: Unit };
  /** As a clause: "the valve takes 4.1 ± 0.8 ms longer to open than stated". */
  readonly words: (size: Measured) => string;
  /**
   * The model and its inputs again, with the cause acting by a size, and a family reaching that far to either
   * side: what an input does is not the same beside a large cause. Left out, or null where the model gives
   * none: the first expansion stands.
   */
  readonly around?: (
    size: number,
    reach: number,
  ) => { readonly stated: StatedModel; readonly family: CauseFamily } | null;
}

const CLEAR = 10; // Kass & Raftery: a difference of the criterion beyond 10 is very strong evidence
const STANDS_OUT = 6; // and one of 6 strong
const PARALLEL = 0.98; // cosine between what two causes do to the positions; beyond it they count as the same
// what parts such causes is a few per cent of their effect, which a trace of lens or model error can fake
const ALIKE_STANDS_OUT = 20;
const LEAST_FRAMES = 10; // of the push, in motion
const EXPANDED_AGAIN = 3; // the likeliest causes are expanded again; those behind are ruled out already
const CHANCE = 0.01; // a misfit less likely than this is no matter of chance

interface Tried {
  readonly cause: ResidualCause;
  readonly fit: CauseFit;
  readonly size: Measured;
  /** Δ of the criterion against no cause; positive is better. */
  readonly better: number;
}

/**
 * Names the likely cause of a difference between model and footage, only where the footage supports it. Each
 * cause is fitted by itself together with what the footage leaves open (see `fitCause`) and held against no
 * cause by Δ = Δχ²/s² - ln n, the difference of Schwarz's criterion for one parameter, s² = max(1, χ²/ν) of
 * the best fit, so that a model that no cause improves is not read too closely. A cause is named when Δ > 10
 * and no other comes within 6. Causes that do nearly the same to the positions (cosine over 0.98) are
 * separated only from 20 on; until then they are named together. Sources: Schwarz, Ann. Statist. 6:461
 * (1978); Kass & Raftery, J. Am. Stat. Assoc. 90:773 (1995).
 * @throws RangeError when arrays differ in length, a u is not > 0, or a family does not hold size 0
 */
export function readResidual(
  seen: SeenPush,
  stated: StatedModel,
  causes: readonly ResidualCause[],
): ResidualReading {
  check(seen, causes);
  const none = fitCause(seen, stated, null);
  const frames = seen.timeS.length;
  const moving = seen.timeS.filter((t) => modelStateAt(stated.motion, t - none.shiftS).position > 0).length;
  if (moving < LEAST_FRAMES) {
    const text = `Only ${moving} frames show the push; ${LEAST_FRAMES} or more are needed to look for a cause of the difference.`;
    return { text, outcome: "too-few", causes: [], frames, misfit: null, tried: [] };
  }
  const fits = expandedAgain(
    seen,
    none,
    causes.map((cause) => ({ cause, fit: fitCause(seen, stated, cause.family, cause.inputs) })),
  ).filter(hasSize);
  const best = Math.min(none.chi2, ...fits.map(({ fit }) => fit.chi2));
  const freedom = frames - 3; // δ, x_0 and the size; the rest is held by its own prior
  const scale = Math.max(1, best / freedom);
  const tried = fits
    .map(({ cause, fit }): Tried => {
      const size = { value: fit.size!.value, u: fit.size!.u * Math.sqrt(scale) };
      return { cause, fit, size, better: (none.chi2 - fit.chi2) / scale - Math.log(frames) };
    })
    .sort((a, b) => b.better - a.better);
  const shared = {
    frames,
    misfit: { none: none.chi2 / (freedom + 1), best: best / freedom },
    tried: tried.map(({ cause, size, better }) => ({ code: cause.code, ...cause.shown(size), better })),
  };
  const [first] = tried;
  if (first === undefined || first.better <= CLEAR)
    return { ...shared, ...unnamed(none.chi2, frames), causes: [] };
  const near = tried
    .slice(1)
    .filter(({ better }) => first.better - better <= ALIKE_STANDS_OUT && better > CLEAR);
  const together = near.filter(({ fit }) => cosine(none, first.fit, fit) > PARALLEL);
  const rivals = near.filter((one) => !together.includes(one) && first.better - one.better <= STANDS_OUT);
  if (rivals.length > 0) return { ...shared, text: UNCLEAR, outcome: "unclear", causes: [] };
  const named = [first, ...together];
  return {
    ...shared,
    text: `${sentenceOf(named)}${scale > 1 && chiSquareTail(best, freedom) < CHANCE ? leftOver(scale) : ""}`,
    outcome: named.length > 1 ? "together" : "named",
    causes: named.map(
      ({ cause, size }): LikelyCause => ({
        code: cause.code,
        words: wordsOf(cause, size),
        ...cause.shown(size),
      }),
    ),
  };
}

type Fitted = Pick<Tried, "cause" | "fit">;

const MOST_REACHES = 1000; // u of a size, in the largest that the cause was worked out for

/** Whether the push says anything of a cause: one that does nothing there has no size, or only rounding. */
function hasSize({ cause, fit }: Fitted): boolean {
  const reach = Math.max(...cause.family.map(({ size }) => Math.abs(size)));
  return fit.size!.u <= MOST_REACHES * reach;
}

/** The likeliest causes that may come to be named are fitted once more about the size first found. */
function expandedAgain(seen: SeenPush, none: CauseFit, fits: readonly Fitted[]): readonly Fitted[] {
  const ordered = [...fits].sort((a, b) => a.fit.chi2 - b.fit.chi2);
  const scale = Math.max(1, (ordered[0]?.fit.chi2 ?? 0) / (seen.timeS.length - 3));
  return ordered.map(({ cause, fit }, place) => {
    const { value, u } = fit.size!;
    const hopeful = place < EXPANDED_AGAIN && none.chi2 - fit.chi2 > CLEAR * scale;
    const closer = hopeful ? (cause.around?.(value, Math.max(4 * u, 0.15 * Math.abs(value))) ?? null) : null;
    return { cause, fit: closer === null ? fit : fitCause(seen, closer.stated, closer.family, cause.inputs) };
  });
}

const UNCLEAR =
  "Model and footage differ by more than the marks and the stated inputs allow, but no single cause explains it clearly better than the others.";

function unnamed(chi2: number, frames: number): Pick<ResidualReading, "text" | "outcome"> {
  if (chiSquareTail(chi2, frames - 2) < CHANCE) return { text: UNCLEAR, outcome: "unclear" };
  return {
    text: "Over the push, model and footage differ by no more than the marks and the stated inputs allow: there is no cause to name.",
    outcome: "agrees",
  };
}

function sentenceOf(named: readonly Tried[]): string {
  const clauses = named.map(({ cause, size }) => `${wordsOf(cause, size)}${contradicts(cause, size)}`);
  const doubt = named.some(({ cause, size }) => cause.guessed !== true && contradicts(cause, size) !== "")
    ? CONTRADICTS
    : "";
  if (clauses.length === 1) return `Likely cause of the difference: ${clauses[0]}.${doubt}`;
  const list = `${clauses.slice(0, -1).join(", ")} or ${clauses.at(-1)}`;
  return `Likely cause of the difference: either ${list}; the footage cannot tell them apart.${doubt}`;
}

const MANY_U = 4; // by chance once in 16 000
const CONTRADICTS =
  " What lies so far from its value was stated wrongly, or stands for something that the model leaves out.";

/** What is held against a guess is not held against what a person stated. */
function wordsOf({ words, guessed }: ResidualCause, size: Measured): string {
  return guessed === true ? words(size).replace("than stated", "than guessed") : words(size);
}

/** By how many of its stated uncertainties a cause contradicts what was stated; nothing where by few. */
function contradicts({ statedU, guessed }: ResidualCause, size: Measured): string {
  if (guessed === true) return " (a guess that nobody has stated yet)";
  if (statedU === undefined) return "";
  const inU = Math.abs(size.value) / Math.hypot(statedU, size.u);
  return inU > MANY_U ? ` (${inU.toFixed(0)} of its uncertainties)` : "";
}

function leftOver(scale: number): string {
  return ` Even so the model leaves ${Math.sqrt(scale).toFixed(1)} times the marks' scatter.`;
}

/**
 * Cosine between what two causes change in the whitened positions, all that the footage
 * leaves open fitted again.
 */
function cosine(none: CauseFit, one: CauseFit, other: CauseFit): number {
  let [product, first, second] = [0, 0, 0];
  none.misfit.forEach((own, i) => {
    const [a, b] = [own - one.misfit[i], own - other.misfit[i]];
    product += a * b;
    first += a * a;
    second += b * b;
  });
  return first > 0 && second > 0 ? product / Math.sqrt(first * second) : 0;
}

function check(seen: SeenPush, causes: readonly ResidualCause[]): void {
  const { timeS, positionM, u } = seen;
  const usable = timeS.every(
    (t, i) => Number.isFinite(t) && Number.isFinite(positionM[i]) && u[i] > 0 && Number.isFinite(u[i]),
  );
  if (!usable || positionM.length !== timeS.length || u.length !== timeS.length) {
    throw new RangeError(
      `readResidual: need finite times, positions and u > 0 of one length; got ${timeS.length}, ${positionM.length}, ${u.length}`,
    );
  }
  const wrong = causes.find(({ family }) => !family.some(({ size }) => size === 0));
  if (wrong !== undefined) throw new RangeError(`readResidual: the family of "${wrong.code}" has no size 0`);
}
