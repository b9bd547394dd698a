import type { Notice } from "../../shared/quantity/notice.ts";
import type { Step } from "../state/desk-state.ts";

/** Where a notice of the measurement or the model is read: the heading under which it can be mended. */
const PLACES: Readonly<Record<string, Step>> = {
  "another-clip": "clip",
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
  "too-much-work": "model",
  "no-launcher": "model",
  "no-airframe-mass": "model",
  "no-gauge-pressure": "model",
  "impossible-input": "model",
  "uncertainty-unknown": "model",
  "too-stiff": "model",
  "never-moves": "model",
  stalls: "model",
  "no-pressure": "model",
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
  "near-stall": "verdict",
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

/** Loads of the end stop and the base, and what the pump does: these stand beside the ram's fields. */
const BY_THE_STOP = new Set([
  "end-stop-over",
  "end-stop-near",
  "end-stop-rating-unknown",
  "base-push-over",
  "base-push-near",
  "base-pull-over",
  "base-pull-near",
]);
const BY_THE_FILL = new Set(["pump-cannot-reach"]);

/** Facts of the motors installed: these stand beside the motors, from the launcher alone. */
const BY_THE_MOTORS = new Set([
  "rocket-class",
  "rocket-over-limit",
  "rocket-ignition",
  "rocket-distance",
  "rocket-tilt",
  "rocket-wings",
  "rocket-several-motors",
]);

/** What a drawn line can do, and what its tables say of its energy: beside the pull and beside the tables. */
const BY_THE_PULL = new Set(["elastic-whip", "elastic-hold"]);
const BY_THE_TABLES = new Set(["elastic-energy", "elastic-longer-draw"]);

/** What is left out of a boost for want of a number of the airframe: beside the fields for them. */
const BY_THE_BOOST = new Set(["rocket-no-drag", "rocket-no-inertia"]);

const BESIDE_A_NUMBER: ReadonlySet<string> = new Set(
  [
    BY_THE_PRESSURE,
    BY_THE_STOP,
    BY_THE_FILL,
    BY_THE_MOTORS,
    BY_THE_PULL,
    BY_THE_TABLES,
    BY_THE_BOOST,
  ].flatMap((codes) => [...codes]),
);

/** Beside the results that an altimeter checks, and beside the flight after release. */
const BY_THE_ALTIMETER = "altimeter-";
const BY_THE_FLIGHT = "after-";

function standsElsewhere(code: string): boolean {
  return BESIDE_A_NUMBER.has(code) || code.startsWith(BY_THE_ALTIMETER) || code.startsWith(BY_THE_FLIGHT);
}

/** What the heading's own sentence says already when it is so. */
const SAID_BY_THE_HEADING = new Set(["no-clock", "no-scale", "no-plumb", "no-launcher"]);

/** Kinds of notice whose codes begin alike. */
const KINDS: readonly (readonly [prefix: string, step: Step])[] = [
  ["drop-", "clock"],
  ["lamp-", "clock"],
  ["plane-", "scale"],
  ["turned-", "scale"],
  ["shake-", "marks"],
  ["end-stop-", "model"],
  ["base-", "model"],
  ["pump-", "model"],
  ["elastic-", "model"],
  [BY_THE_ALTIMETER, "verdict"],
  [BY_THE_FLIGHT, "verdict"],
  ["rocket-", "model"],
];

function placeOf({ code, about }: Notice): Step {
  return about ?? PLACES[code] ?? KINDS.find(([prefix]) => code.startsWith(prefix))?.[1] ?? "motion";
}

/** The notices to read under a heading; those that name no heading belong to Motion, where results are doubted. */
export function noticesFor(step: Step, notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(
    (one) => placeOf(one) === step && !standsElsewhere(one.code) && !SAID_BY_THE_HEADING.has(one.code),
  );
}

/** The cautions that stand beside the tank's pressure. */
export function pressureNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_PRESSURE.has(code));
}

/** Loads at the end of the stroke and on the base, beside the fields that describe them. */
export function stopNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_STOP.has(code));
}

/** What is said of filling the tank, beside its fields. */
export function fillNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_FILL.has(code));
}

/** What a drawn line can do, beside the pull. */
export function pullNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_PULL.has(code));
}

/** What the force-extension tables say, beside them. */
export function tableNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_TABLES.has(code));
}

/** What a boost leaves out, beside the airframe's fields. */
export function boostNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => BY_THE_BOOST.has(code));
}

/** How an altimeter's height stands to the speed, beside the results. */
export function altimeterNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => code.startsWith(BY_THE_ALTIMETER));
}

/** What the first seconds after release bring, beside them. */
export function flightNotices(notices: readonly Notice[]): readonly Notice[] {
  return notices.filter(({ code }) => code.startsWith(BY_THE_FLIGHT));
}

/** What keeps the four headline results from being there: the first refusal that is not about the model. */
export function firstObstacle(notices: readonly Notice[]): Notice | null {
  return notices.find((one) => one.level === "refusal" && placeOf(one) !== "model") ?? null;
}
