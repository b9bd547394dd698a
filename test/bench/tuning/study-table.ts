import { median, percent, rms, row } from "../truth/table.ts";
import { type StudyRun, studyRun } from "./study.ts";
import { HELD_OUT, STUDY_FORMS, type StudyForm } from "./study-shots.ts";

const WHAT: Readonly<Record<StudyForm, string>> = {
  physics: "heat from the walls, rounded opening, Stribeck friction, drag",
  leak: "a leak of 12 % of the valve that nobody stated",
  scatter: "valve, opening and friction other in each shot",
  matched: "the model's own form",
};

/** Tuning on six shots at three pressures, for each form of the shots: what came out beside what is asked. */
export function studyTable(seeds: number): void {
  for (const form of STUDY_FORMS) {
    const runs: StudyRun[] = [];
    const failed: string[] = [];
    for (let seed = 1; seed <= seeds; seed++) {
      try {
        runs.push(studyRun(seed, form));
      } catch (error) {
        failed.push(String(error));
      }
    }
    row(`${form}: ${WHAT[form]}, ${seeds} launchers`, "found", "asked");
    const tuned = runs.flatMap((run) => run.tuned);
    const near = tuned.filter(({ inU }) => Math.abs(inU) <= 2).length;
    row(`tuned values within 2 u (${tuned.length})`, percent(near / tuned.length, 0), ">= 90 %");
    for (const path of new Set(tuned.map((one) => one.path))) {
      const some = tuned.filter((one) => one.path === path);
      const width = percent(median(some.map(({ relativeU }) => relativeU)), 1);
      row(
        `  ${path} (${some.length}), rms error, median u`,
        `${rms(some.map(({ inU }) => inU)).toFixed(2)} u, ${width}`,
        "",
      );
    }
    const predictions = runs.flatMap((run) => run.predictions);
    const inside = predictions.filter((one) => one.inside).length;
    row(
      `speed inside its 95 % interval (${predictions.length})`,
      percent(inside / predictions.length, 0),
      "90 to 99 %",
    );
    for (const gaugePa of HELD_OUT) {
      const some = predictions.filter((one) => one.gaugePa === gaugePa);
      const half = percent(median(some.map(({ within }) => within)), 2);
      row(
        `  at ${gaugePa / 1e5} bar: inside, half width`,
        `${some.filter((one) => one.inside).length}/${some.length}, ${half}`,
        "",
      );
    }
    row("not tuned", String(failed.length), "0");
    for (const why of failed) row(`  ${why}`, "", "");
  }
}
