import type { SeenPush } from "../compare/cause-fit.ts";
import { type ModelState, modelStateAt } from "../compare/model-motion.ts";
import { readResidual } from "../compare/read-residual.ts";
import { guessesIn } from "../launchers/guesses.ts";
import { launcherModel } from "../launchers/launcher-models.ts";
import type { ResidualSignatures } from "../launchers/residual-signatures.ts";
import { launcherInUse } from "../predict/launcher-in-use.ts";
import { elementAt, entryOf, lastOf } from "../quantity/known-element.ts";
import type {
  BudgetLine,
  Comparison,
  Measurement,
  Prediction,
  QuantityName,
  ResidualReading,
  ResidualU,
} from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";

/**
 * Signatures by the prediction they belong to: a prediction is made from the same launcher, airframe and
 * conditions, and kept while only marks change.
 */
const known = new WeakMap<Prediction, { readonly signatures: ResidualSignatures | null }>();

function signaturesOf(launch: LaunchInputs, prediction: Prediction): ResidualSignatures | null {
  const found = known.get(prediction);
  if (found !== undefined) return found.signatures;
  const { launcher, joint } = launcherInUse(launch);
  const push = launcher && launcherModel(launcher).push;
  const guessed = launcher === null ? [] : guessesIn(launcher);
  const read = push?.signatures(launcher!, launch, joint) ?? null;
  const signatures = read && {
    ...read,
    causes: read.causes.map((cause) => ({
      ...cause,
      guessed: cause.inputs.some((name) => guessed.includes(name)),
    })),
  };
  known.set(prediction, { signatures });
  return signatures;
}

/**
 * The comparison with the uncertainty of its residuals and, where asked, the likely cause of the difference;
 * as it was where the launcher has no model whose causes are known.
 * @param before the reading to keep instead of reading again, while a person drags a mark
 */
export function withReading(
  comparison: Comparison,
  launch: LaunchInputs,
  measurement: Measurement,
  prediction: Prediction,
  before: ResidualReading | null | undefined,
): Comparison {
  const signatures = signaturesOf(launch, prediction);
  if (signatures === null) return comparison;
  const u = residualU(comparison, measurement, signatures);
  const reading =
    before !== undefined ? before : readResidual(seenPush(measurement), signatures.stated, signatures.causes);
  return { ...comparison, residuals: { ...comparison.residuals, u }, reading };
}

/** The pose of every frame up to release, with the systematic parts of the travel to it. */
function seenPush({ poses, quantities, budget }: Measurement): SeenPush {
  const pushed = poses.flatMap(({ timeS, positionM, positionU }) =>
    timeS <= 0 && positionU !== undefined && positionU > 0 ? [{ timeS, positionM, u: positionU }] : [],
  );
  const relative = (name: QuantityName, counts: (source: BudgetLine["source"]) => boolean) =>
    partOf(budget[name] ?? [], counts) / Math.max(Math.abs(quantities[name]?.value ?? 0), Number.MIN_VALUE);
  return {
    timeS: pushed.map(({ timeS }) => timeS),
    positionM: pushed.map(({ positionM }) => positionM),
    u: pushed.map(({ u }) => u),
    scaleU: relative("stroke", (source) => source !== "marks" && source !== "clock"),
    rateU: relative("releaseSpeed", (source) => source === "clock"),
    valveS: null,
  };
}

function partOf(lines: readonly BudgetLine[], counts: (source: BudgetLine["source"]) => boolean): number {
  return Math.hypot(...lines.filter(({ source }) => counts(source)).map(({ u }) => u));
}

const CURVES = [
  ["position", "stroke"],
  ["speed", "releaseSpeed"],
  ["acceleration", "peakAcceleration"],
] as const satisfies readonly (readonly [keyof ModelState, QuantityName])[];

/**
 * u of predicted - measured along the push: u² = u_measured² + Σ (X_k - X)², X_k the model with input k
 * moved by its u, each laid on release by its own end of stroke. The systematic part is what is left
 * without the marks' scatter.
 */
function residualU(
  { residuals }: Comparison,
  { curves, budget, quantities }: Measurement,
  { stated }: ResidualSignatures,
): Readonly<Record<"position" | "speed" | "acceleration", ResidualU>> {
  const indexOf = new Map(curves.timeS.map((t, i) => [t, i]));
  const end = (timeS: readonly number[]) => lastOf(timeS);
  const states = residuals.timeS.map((t) => ({
    plain: modelStateAt(stated.motion, t + end(stated.motion.timeS)),
    moved: stated.inputs.map(({ moved }) => modelStateAt(moved, t + end(moved.timeS))),
  }));
  const entries = CURVES.map(([name, result]) => {
    const share =
      partOf(budget[result] ?? [], (source) => source !== "marks") /
      Math.max(Math.abs(quantities[result]?.value ?? 0), Number.MIN_VALUE);
    const parts = residuals.timeS.map((t, i) => {
      const at = entryOf(indexOf, t);
      const { plain, moved } = elementAt(states, i);
      const model = Math.hypot(...moved.map((state) => state[name] - plain[name]));
      const common = share * Math.abs(curves[name].value[at]!);
      return {
        combined: Math.hypot(curves[name].u[at]!, model),
        systematic: Math.hypot(common, model),
      };
    });
    return [
      name,
      { combined: parts.map((part) => part.combined), systematic: parts.map((part) => part.systematic) },
    ];
  });
  return Object.fromEntries(entries) as Record<"position" | "speed" | "acceleration", ResidualU>;
}
