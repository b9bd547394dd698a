import { setImmediate } from "node:timers/promises";
import type { CameraPlan } from "../../shared/camera-plan/camera-plan.ts";
import { planningSteps } from "../../shared/camera-plan/plan-camera.ts";
import { showMeasured } from "../../shared/quantity/display.ts";
import { QUANTITIES } from "../../shared/results/quantity-table.ts";
import { HEADLINES } from "../../shared/results/shot-result.ts";
import { askedPlan, PLAN_OPTIONS } from "./plan-camera-options.ts";
import { noticeWords } from "./shot-words.ts";
import { table, wrapped } from "./table.ts";
import type { Verb } from "./verb.ts";

export const planCameraVerb: Verb = {
  name: "plan-camera",
  usage: "[--rate HZ] [--field M] ... [--quick]",
  summary:
    "Says before going out how sure a camera set-up will make the results, and which change helps most.",
  details: optionLines(),
  operands: [0, 0],
  options: {
    ...Object.fromEntries(PLAN_OPTIONS.map(({ name }) => [name, { type: "string" as const }])),
    quick: { type: "boolean" },
  },
  async run({ options, json, terminal, onProgress }) {
    const { input, taken } = askedPlan(options);
    const plan = await planned(
      planningSteps(input, { withoutChanges: options.quick === true }),
      onProgress,
      terminal.signal,
    );
    if (json) terminal.out(`${JSON.stringify({ ...plan, taken }, null, 2)}\n`);
    if (plan.headlines === null) {
      terminal.err(`This set-up cannot measure the shot.\n${seenWords(plan)}${noticeWords(plan.notices)}`);
      terminal.err(takenWords(taken));
      return 1;
    }
    if (!json) terminal.out(planWords(plan) + takenWords(taken));
    return 0;
  },
};

/** One simulated shot at a time, with a look at progress and Ctrl-C in between. */
async function planned(
  steps: ReturnType<typeof planningSteps>,
  onProgress: (progress: { fraction: number; doing: string }) => void,
  signal: AbortSignal,
): Promise<CameraPlan> {
  for (;;) {
    const step = steps.next();
    if (step.done === true) return step.value;
    const { done, total, doing } = step.value;
    onProgress({ fraction: done / total, doing });
    await setImmediate();
    signal.throwIfAborted();
  }
}

function planWords(plan: CameraPlan): string {
  const advice = plan.advice === "" ? "" : `\n${wrapped(plan.advice, "  ")}`;
  return `What this set-up will give\n${headlineTable(plan)}\n${seenWords(plan)}${noticeWords(plan.notices)}${changeTable(plan)}${advice}`;
}

/** value ± u of each result, and what share of its variance each source has. */
function headlineTable({ headlines }: CameraPlan): string {
  if (headlines === null) return "";
  const sources = [
    ...new Set(HEADLINES.flatMap((name) => headlines[name].budget.map((line) => line.source))),
  ];
  const rows = HEADLINES.map((name) => {
    const { u, unit, budget } = headlines[name];
    const shares = sources.map((source) => {
      const line = budget.find((one) => one.source === source);
      return line === undefined ? "" : percent((line.u / u) ** 2);
    });
    return [QUANTITIES[name].words, showMeasured(headlines[name], unit).text, ...shares];
  });
  return table([["", "expected", ...sources], ...rows]);
}

function seenWords({ seen, push, input }: CameraPlan): string {
  if (seen === null || push === null) return "";
  const [width, height] = seen.fieldM;
  return table([
    [
      "Picture",
      `${width.toFixed(2)} m by ${height.toFixed(2)} m in the plane of the flight, ${(1000 * seen.scaleMPerPx).toFixed(2)} mm a pixel`,
    ],
    [
      "Push",
      `${(1000 * push.pushS).toFixed(0)} ms, ${seen.framesInPush} frames, peak ${push.peakMPerS2.toFixed(0)} m/s²; ${seen.pushFits ? "in the picture" : "not all in the picture"}`,
    ],
    [
      "Flight",
      `${seen.flightFramesInView} frames until it leaves the picture, ${seen.flightFramesMarked} of them marked`,
    ],
    ["Smear at release", `${seen.blurPx.toFixed(1)} px in 1/${Math.round(1 / input.exposureS)} s`],
  ]);
}

/** By how much each change lessens each u. */
function changeTable({ changes }: CameraPlan): string {
  if (changes.length === 0) return "";
  const heading = ["If you were to", ...HEADLINES.map((name) => QUANTITIES[name].words.toLowerCase())];
  const rows = changes.map(({ words, whyNot, headlines }) => [
    words,
    ...(headlines === null
      ? [whyNot ?? ""]
      : HEADLINES.map((name) => signedPercent(-headlines[name].reduction))),
  ]);
  const wide = rows.filter((row) => row.length > 2);
  const not = rows.filter((row) => row.length === 2).map(([words, why]) => `Not possible: ${words}; ${why}.`);
  return `\n${table([heading, ...wide])}${not.map((line) => wrapped(line, "  ")).join("")}`;
}

function takenWords(taken: readonly string[]): string {
  return taken.length === 0 ? "" : `\n${wrapped(`Not given, so by default: ${taken.join(", ")}.`, "  ")}`;
}

function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}

function signedPercent(share: number): string {
  const rounded = Math.round(100 * share);
  return rounded === 0 ? "0 %" : `${rounded > 0 ? "+" : "−"}${Math.abs(rounded)} %`;
}

function optionLines(): string[] {
  const left = PLAN_OPTIONS.map(({ name, unit }) => `--${name} ${unit}`);
  const width = Math.max(...left.map((one) => one.length));
  return [
    ...PLAN_OPTIONS.map(
      ({ meaning, usual }, i) =>
        `${(left[i] as string).padEnd(width)}   ${meaning}${usual === null ? "" : `; ${usual} by default`}`,
    ),
    `${"--quick".padEnd(width)}   leaves out which change helps most`,
    "The expected shot is simulated, marked with errors and measured as a real one is.",
  ];
}
