import type { Notice } from "../../shared/quantity/notice.ts";
import type { Step } from "../state/desk-state.ts";

/** Where a notice of the measurement or the model is read: the heading under which it can be mended. */
const PLACES: Readonly<Record<string, Step>> = {
  "no-clock": "clock",
  "no-timestamps": "clock",
  "rates-disagree": "clock",
  blurred: "clock",
  "no-scale": "scale",
  "scale-too-close": "scale",
  "no-plumb": "scale",
  "rods-disagree": "scale",
  "plumb-and-level-disagree": "scale",
  "lens-folds": "scale",
  "planes-too-far-apart": "scale",
  "too-near": "scale",
  "plumb-too-close": "scale",
  "too-few-points": "marks",
  "no-centre-of-gravity": "marks",
  "marks-beyond-clip": "marks",
  "no-launcher": "model",
  "no-airframe-mass": "model",
  "no-gauge-pressure": "model",
  "impossible-input": "model",
  "uncertainty-unknown": "model",
  "too-stiff": "model",
  "never-moves": "model",
  "tank-material-unknown": "model",
  "tank-rating-unknown": "model",
  "over-rating": "model",
  "near-rating": "model",
  "stored-pressure": "model",
  "plastic-pipe": "model",
  "end-stop": "verdict",
  "people-down-range": "verdict",
  "load-limit": "verdict",
  "near-load-limit": "verdict",
  "below-stall": "verdict",
};

/** Pressure, what holds it and who decides: these stand beside the pressure number, not among the model's notices. */
const BY_THE_PRESSURE = new Set([
  "tank-material-unknown",
  "tank-rating-unknown",
  "over-rating",
  "near-rating",
  "stored-pressure",
  "plastic-pipe",
]);

/** What the heading's own sentence says already when it is so. */
const SAID_BY_THE_HEADING = new Set(["no-clock", "no-scale", "no-plumb", "no-launcher"]);

/** Kinds of notice whose codes begin alike. */
const KINDS: readonly (readonly [prefix: string, step: Step])[] = [
  ["drop-", "clock"],
  ["lamp-", "clock"],
  ["plane-", "scale"],
  ["turned-", "scale"],
  ["shake-", "marks"],
];

function placeOf(code: string): Step {
  return PLACES[code] ?? KINDS.find(([prefix]) => code.startsWith(prefix))?.[1] ?? "motion";
}

/** The notices to read under a heading; those that name no heading belong to Motion, where results are doubted. */
export function noticesFor(step: Step, notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(
    (one) => placeOf(one.code) === step && !isByThePressure(one) && !SAID_BY_THE_HEADING.has(one.code),
  );
}

/** The cautions that stand beside the tank's pressure. */
export function pressureNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(isByThePressure);
}

/** What keeps the four headline results from being there: the first refusal that is not about the model. */
export function firstObstacle(notices: readonly Notice[]): Notice | null {
  return notices.find((one) => one.level === "refusal" && PLACES[one.code] !== "model") ?? null;
}

function isByThePressure(notice: Notice): boolean {
  return BY_THE_PRESSURE.has(notice.code);
}
