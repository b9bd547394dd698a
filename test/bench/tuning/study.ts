import { createChance } from "../../../src/shared/quantity/chance.ts";
import { type SessionTuning, tuneSession } from "../../../src/shared/tune/tune-session.ts";
import { LAUNCHER } from "../../support/one-of-each.ts";
import { ASKED, HELD_OUT, type Study, type StudyForm, studyShots, TUNED_ON } from "./study-shots.ts";

/** Inputs that mean the same in a form's physics as in the model; elsewhere there is no true value. */
const DEFINED: Readonly<Record<StudyForm, (path: string) => boolean>> = {
  // Heat, a rounded opening and Stribeck's friction: opening time and frictions are other quantities there.
  physics: (path) => !["openingS", "slidingN", "breakawayN", "viscousNsPerM"].includes(path),
  leak: () => true,
  scatter: () => true,
  matched: () => true,
};

export interface StudyRun {
  readonly seed: number;
  readonly study: Study;
  readonly found: SessionTuning;
  /** (tuned - true)/u of each input that moved and has a true value. */
  readonly tuned: readonly { readonly path: string; readonly inU: number; readonly relativeU: number }[];
  readonly predictions: readonly {
    readonly gaugePa: number;
    readonly inside: boolean;
    /** Half width of the 95 % interval over the speed. */
    readonly within: number;
    readonly inU: number;
    readonly off: number;
  }[];
}

/** One tuning of made shots: six at three pressures, tried between and beyond. */
export function studyRun(seed: number, form: StudyForm): StudyRun {
  const study = studyShots(createChance(1000 + seed), form);
  const ids = study.session.shots.map(({ id }) => id);
  const outcome = tuneSession(
    study.session,
    {
      launcherId: LAUNCHER,
      parameters: ASKED,
      shotIds: ids.slice(0, TUNED_ON.length),
      heldOutShotIds: ids.slice(TUNED_ON.length),
    },
    study.tracks,
  );
  if (!outcome.ok) throw new Error(`${form} ${seed}: ${outcome.fault.cause}`);
  const { tuning, heldOut } = outcome.value;
  const absent = tuning.unstated.filter(({ present }) => !present).map(({ name }) => name);
  return {
    seed,
    study,
    found: outcome.value,
    tuned: tuning.inputs
      .filter(({ name, moved }) => moved && DEFINED[form](name) && !absent.includes(name))
      .map(({ name, tuned }) => ({
        path: name,
        inU: (tuned.value - study.truth.get(name)!) / tuned.u,
        relativeU: tuned.u / tuned.value,
      })),
    predictions: heldOut.map((one, i) => {
      const speed = study.speeds.get(one.shotId)!;
      return {
        gaugePa: HELD_OUT[i]!,
        inside: one.inside,
        within: one.within / speed,
        inU: (one.predicted.value - speed) / one.predicted.u,
        off: one.predicted.value / speed - 1,
      };
    }),
  };
}
