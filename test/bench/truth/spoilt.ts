import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { known, type MeasuredShot, measured } from "./measured.ts";
import { simulateShot } from "./simulate.ts";
import { releaseSpeedBound } from "./speed-bound.ts";
import { spoilMarks } from "./spoil.ts";
import { percent, rms, row } from "./table.ts";

/** The same shots in four states. */
const STATES = ["all", "missing", "misclicked", "mended"] as const;
type State = (typeof STATES)[number];

/**
 * Shots with 30 % of their marks missing and 5 % of the rest moved by 20 px, held against the same shots
 * whole; against the same missing marks with none moved; and against the same again with the moved ones taken
 * out by one who knows them: what the fit loses by finding them itself. First the error that marks leave, in
 * units of each shot's bound; then the error of the release speed as a person gets it, with an error of the
 * scale and of the clock drawn for each shot and shared by its states.
 */
export function spoiltRows(count: number): void {
  const { scaleU, clockU } = ordinaryInputs();
  const chance = createChance(31);
  const ofMarks: Record<State, number[]> = { all: [], missing: [], misclicked: [], mended: [] };
  const reported: Record<State, number[]> = { all: [], missing: [], misclicked: [], mended: [] };
  let [named, misclicks, wrongly, goodMarks, whole, left] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < count; i++) {
    const shot = simulateShot(9000 + i);
    const { marks, kept, bad, good } = spoilMarks(shot, 77 + i);
    const common = (1 + scaleU * chance.normal()) * (1 + clockU * chance.normal());
    const states = [shot.marks, kept, marks, good].map((some) => measured({ ...shot, marks: some }));
    if (!states.every((one): one is MeasuredShot => one !== null)) continue;
    const bound = releaseSpeedBound(shot);
    STATES.forEach((state, at) => {
      const found = known((states[at] as MeasuredShot).results.speed).value;
      ofMarks[state].push((found - shot.truth.speed) / bound);
      reported[state].push((found * common) / shot.truth.speed - 1);
    });
    const { setAside } = states[2] as MeasuredShot;
    misclicks += bad.length;
    named += bad.filter((mark) => setAside.includes(mark)).length;
    goodMarks += good.length;
    wrongly += good.filter((mark) => setAside.includes(mark)).length;
    whole += shot.marks.length;
    left += good.length;
  }
  const against = (errors: Record<State, number[]>, one: State, other: State) =>
    (rms(errors[one]) / rms(errors[other])).toFixed(3);
  row(`30 % of marks missing, then 5 % misclicked by 20 px (${ofMarks.all.length} shots)`, "", "");
  row("  good marks left", percent(left / whole, 1), "");
  row("  rms error that marks leave, missing / all", against(ofMarks, "missing", "all"), "");
  row("    missing and misclicked / all", against(ofMarks, "misclicked", "all"), "< 1.2");
  row("    what counting the good marks left predicts for it", Math.sqrt(whole / left).toFixed(3), "");
  row("    missing and misclicked / missing", against(ofMarks, "misclicked", "missing"), "");
  row(
    "    missing and misclicked / misclicks taken out by hand",
    against(ofMarks, "misclicked", "mended"),
    "",
  );
  const inputs = `scale ${percent(scaleU, 2)}, clock ${percent(clockU, 2)}`;
  row(
    `  rms error of the reported release speed (u of ${inputs}), all marks`,
    percent(rms(reported.all), 3),
    "",
  );
  row("    missing and misclicked", percent(rms(reported.misclicked), 3), "");
  row("    missing and misclicked / all", against(reported, "misclicked", "all"), "< 1.2");
  row("  misclicks named", percent(named / misclicks, 1), "≥ 95 %");
  row("  good marks named by mistake", percent(wrongly / goodMarks, 3), "");
}

/**
 * Relative u of scale and clock as in the example's session: a taped rod picked to half a
 * pixel, a stated capture rate.
 */
function ordinaryInputs(): { readonly scaleU: number; readonly clockU: number } {
  const session = exampleSession(1);
  const { measurement } = measureShot(session, session.shots[0]!.id, null);
  const rate = measurement?.captureRateHz;
  if (!measurement || !rate) throw new Error("The example's shot was not measured.");
  return { scaleU: measurement.scale.u / measurement.scale.value, clockU: rate.u / rate.value };
}
