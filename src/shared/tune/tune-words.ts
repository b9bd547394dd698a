import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Session, Tuning } from "../session/schema.ts";
import { inputAt } from "../shot/launcher-in-use.ts";
import { parameterWords, showParameter } from "./parameter-words.ts";
import type { LauncherTuning } from "./tune-launcher.ts";
import type { HeldOutShot, SessionTuning } from "./tune-session.ts";

/** One row of the table: what it is, as stated, as tuned. */
export interface TuneRow {
  readonly path: string;
  readonly words: string;
  readonly stated: string;
  readonly tuned: string;
}

const BESIDES = " (not asked for)";
const CLOSE = 0.9; // correlation of two tuned values that is worth a word
const FAR_OFF = 3; // standard uncertainties from what was stated that are worth a word
const NOISY = 1.5; // factor on the noise from which the model does not describe the shots

/** The table of what was asked for, then of what moved besides. */
export function tuneRows(
  { launcherKind: kind, tuning: { inputs } }: SessionTuning,
  parameters: readonly string[],
): readonly TuneRow[] {
  const asked = parameters.flatMap((path) => inputs.filter(({ name }) => name === path));
  const besides = inputs.filter((one) => one.moved && !parameters.includes(one.name));
  return [...asked, ...besides].map((one) => ({
    path: one.name,
    words: `${parameterWords(kind, one.name)}${parameters.includes(one.name) ? "" : BESIDES}`,
    stated: showParameter(kind, one.name, one.stated),
    tuned: one.moved ? showParameter(kind, one.name, one.tuned) : STAYS,
  }));
}

const STAYS = "not determined; stays as stated";

/** The same table from what the document keeps. */
export function savedRows({ launcher }: Session, { parameters, tuned }: Tuning): readonly TuneRow[] {
  if (tuned === null || launcher === null) return [];
  const row = (path: string, value: Measured, moved: boolean, note: string): TuneRow[] => {
    const stated = inputAt(launcher, path);
    if (stated === null) return [];
    return [
      {
        path,
        words: `${parameterWords(launcher.kind, path)}${note}`,
        stated: showParameter(launcher.kind, path, stated),
        tuned: moved ? showParameter(launcher.kind, path, value) : STAYS,
      },
    ];
  };
  return [
    ...parameters.flatMap((path, i) => row(path, tuned.values[i]!, !tuned.undetermined.includes(path), "")),
    ...(tuned.others ?? [])
      .filter(({ moved }) => moved)
      .flatMap(({ path, value }) => row(path, value, true, BESIDES)),
  ];
}

/** What a person should know of a tuning: how well it fits, what it leaves open, what is doubtful. The first says how well it fits. */
export function tuneNotices(
  { launcherKind, tuning }: SessionTuning,
  parameters: readonly string[],
  session: Session,
): readonly Notice[] {
  const nameOf = (path: string) => parameterWords(launcherKind, path);
  return [
    fitNotice(tuning),
    ...undeterminedNotices(tuning, nameOf),
    ...closeNotices(tuning, parameters, nameOf),
    ...farNotices(tuning, session, nameOf),
    ...scatterNotices(tuning),
  ];
}

/** "Shot 7: predicted 14.21 ± 0.09 m/s, measured 14.15 ± 0.05 m/s; 0.4 % high, inside the ± 0.20 m/s expected." */
export function heldOutSays(one: HeldOutShot, session: Session): string {
  const name = session.shots.find(({ id }) => id === one.shotId)?.name ?? one.shotId;
  const speed = (value: HeldOutShot["measured"]) => showMeasured(value, "m/s", session.units).text;
  const off = Math.abs(100 * one.relative);
  const side = one.relative > 0 ? "high" : "low";
  return `${name}: predicted ${speed(one.predicted)}, measured ${speed(one.measured)}; ${off.toFixed(1)} % ${side}, ${
    one.inside ? "inside" : "outside"
  } the ${within(one, session.units)} expected of 95 in 100.`;
}

function within({ within: half }: HeldOutShot, units: UnitSet): string {
  const { u, symbol } = showMeasured({ value: 0, u: half }, "m/s", units);
  return `± ${u} ${symbol}`;
}

function fitNotice({ chiSquare, degreesOfFreedom, chance, widened, shots }: LauncherTuning): Notice {
  const ratio = chiSquare / degreesOfFreedom;
  const numbers = `chi-square ${chiSquare.toFixed(0)} for ${degreesOfFreedom} degrees of freedom`;
  if (widened === 1) {
    const few = shots.length === 1 ? "the shot" : `the ${shots.length} shots`;
    return {
      level: "note",
      code: "tune-fits",
      cause: `The model follows ${few} to within the marks' scatter (${numbers}).`,
      remedy: "",
    };
  }
  return {
    level: widened > NOISY ? "warning" : "note",
    code: "tune-misfit",
    cause: `The model misses the shots by ${Math.sqrt(ratio).toFixed(1)} times the marks' scatter (${numbers}; by chance ${
      chance < 0.001 ? "less than once in 1000" : `${(100 * chance).toFixed(1)} % of the time`
    }). The uncertainties are widened by as much.`,
    remedy:
      "See in the figures where model and marks part: a leak, a vent or a slow valve may be missing from the launcher.",
  };
}

function undeterminedNotices({ undetermined, together }: LauncherTuning, nameOf: NameOf): readonly Notice[] {
  const notices: Notice[] = [];
  if (undetermined.length > 0) {
    notices.push({
      level: "warning",
      code: "tune-undetermined",
      cause: `The shots do not determine ${listed(undetermined.map(nameOf))}: ${undetermined.length === 1 ? "it stays" : "they stay"} as stated.`,
      remedy: "Use shots at other pressures, mark more frames of the push, or measure it on the bench.",
    });
  }
  for (const group of together) {
    notices.push({
      level: "note",
      code: "tune-together",
      cause: `The shots do determine ${listed(group.map(nameOf))} together, but not which of them it is.`,
      remedy: "Measuring one of them by other means gives the other.",
    });
  }
  return notices;
}

function closeNotices(
  { inputs, correlation }: LauncherTuning,
  parameters: readonly string[],
  nameOf: NameOf,
): readonly Notice[] {
  const n = inputs.length;
  const told = [...inputs.keys()].filter((i) => inputs[i]!.moved && parameters.includes(inputs[i]!.name));
  return told.flatMap((i, k) =>
    told.slice(k + 1).flatMap((j): Notice[] => {
      const r = correlation[i * n + j]!;
      if (Math.abs(r) < CLOSE) return [];
      return [
        {
          level: "note",
          code: "tune-close",
          cause: `${capital(nameOf(inputs[i]!.name))} and ${nameOf(inputs[j]!.name)} hang together closely (correlation ${r.toFixed(2).replace("-", "−")}): together they are known better than either.`,
          remedy: "Predictions use them together; do not read much into one of them alone.",
        },
      ];
    }),
  );
}

function farNotices({ inputs, shots }: LauncherTuning, session: Session, nameOf: NameOf): readonly Notice[] {
  const far = inputs.filter(
    ({ stated, tuned, moved }) => moved && Math.abs(tuned.value - stated.value) > FAR_OFF * stated.u,
  );
  const gauges = shots.flatMap(({ shotId, own }) =>
    own.filter(({ inU }) => Math.abs(inU) > FAR_OFF).map(({ name }) => ({ shotId, name })),
  );
  return [
    ...far.map(
      (one): Notice => ({
        level: "warning",
        code: "tune-far",
        cause: `The tuned ${nameOf(one.name)} lies ${(Math.abs(one.tuned.value - one.stated.value) / one.stated.u).toFixed(1)} of its stated uncertainties from its stated value.`,
        remedy: "Check how it was measured; it may make up for something the model leaves out.",
      }),
    ),
    ...gauges.map(
      ({ shotId, name }): Notice => ({
        level: "warning",
        code: "tune-own-far",
        cause: `${session.shots.find(({ id }) => id === shotId)?.name ?? shotId} fits only with its ${nameOf(name)} more than ${FAR_OFF} of its uncertainties off.`,
        remedy: "Check what was noted for that shot, or leave the shot out.",
      }),
    ),
  ];
}

function scatterNotices({ scatter, shots }: LauncherTuning): readonly Notice[] {
  if (scatter === null) {
    return [
      {
        level: "note",
        code: "tune-no-scatter",
        cause: `${shots.length === 1 ? "One shot tells" : "Two shots tell"} nothing of the scatter from shot to shot; none is counted in predictions.`,
        remedy: "Tune on three shots or more.",
      },
    ];
  }
  const percent = (100 * scatter).toFixed(1);
  return [
    {
      level: "note",
      code: "tune-scatter",
      cause:
        scatter === 0
          ? "Release speed scatters no more from shot to shot than measuring it and reading the gauge explain."
          : `Release speed scatters by ${percent} % from shot to shot, beyond measuring it and reading the gauge.`,
      remedy: "",
    },
  ];
}

/** What an input is called, by its path. */
type NameOf = (path: string) => string;

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
