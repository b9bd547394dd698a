import type { LauncherKind } from "../inputs/input.ts";
import { modelInput } from "../inputs/model-input.ts";
import { isGuessOf } from "../launchers/guesses.ts";
import { inputAt } from "../predict/launcher-in-use.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import type { Launcher, Tuning } from "../session/schema.ts";
import { parameterWords, showLimit, showParameter } from "./parameter-words.ts";
import type { LauncherTuning } from "./tune-launcher.ts";
import { TUNE_NOTICES, type TuneNotice } from "./tune-notices.ts";
import type { HeldOutShot, SessionTuning } from "./tune-session.ts";

/** One row of the table: what it is, as stated, as tuned. */
export interface TuneRow {
  readonly path: string;
  readonly words: string;
  readonly stated: string;
  readonly tuned: string;
  /** By each separate answer that fits about as well. */
  readonly rivals: readonly string[];
}

const BESIDES = " (not asked for)";
const CLOSE = 0.9; // correlation of two tuned values that is worth a word
const NORMAL_95 = 1.96; // of the normal distribution, 95 in 100
const FAR_OFF = 3; // standard uncertainties from what was stated that are worth a word
const NOISY = 1.5; // factor on the noise from which the model does not describe the shots

/** The table of what was asked for, then of what moved besides. */
export function tuneRows(
  { launcherKind: kind, tuning: { inputs, unstated, rivals } }: SessionTuning,
  parameters: readonly string[],
): readonly TuneRow[] {
  const asked = parameters.flatMap((path) => inputs.filter(({ name }) => name === path));
  const nowhere = (name: string) =>
    rivals.every((rival) => rival.inputs.every((one) => one.name !== name || one.tuned.value === 0));
  const gone = unstated.filter(({ present, name }) => !present && nowhere(name)).map(({ name }) => name);
  const everMoved = ({ name, moved }: (typeof inputs)[number]) =>
    moved || rivals.some((rival) => rival.inputs.some((one) => one.name === name && one.moved));
  const besides = inputs.filter(
    (one) => everMoved(one) && !parameters.includes(one.name) && !gone.includes(one.name),
  );
  return [...asked, ...besides].map((one) => ({
    path: one.name,
    words: `${parameterWords(kind, one.name)}${parameters.includes(one.name) ? "" : BESIDES}`,
    stated: unstated.some(({ name }) => name === one.name)
      ? NOT_STATED
      : `${showParameter(kind, one.name, one.stated)}${guessMark(kind, one.name, one.stated)}`,
    tuned: one.moved ? showParameter(kind, one.name, one.tuned) : STAYS,
    rivals: rivals.map((rival) => {
      const other = rival.inputs.find(({ name }) => name === one.name);
      return other?.moved ? showParameter(kind, one.name, other.tuned) : STAYS;
    }),
  }));
}

/** Marks what stands as stated but nobody stated. */
function guessMark(kind: LauncherKind, path: string, stated: Measured): string {
  return isGuessOf(kind, path, stated) ? " (guess)" : "";
}

const NOT_STATED = "not stated";
const STAYS = "not determined; stays as stated";

/** The same table from what the document keeps. */
export function savedRows(launcher: Launcher | null, { parameters, tuned }: Tuning): readonly TuneRow[] {
  if (tuned === null || launcher === null) return [];
  const { others = [], rivals = [] } = tuned;
  const paths = [...parameters, ...others.map(({ path }) => path)];
  const row = (path: string, value: Measured, moved: boolean, note: string): TuneRow[] => {
    const stated = inputAt(launcher, path);
    // What nobody stated and the shots do not show has but its uncertainty.
    const all = [value, ...rivals.flatMap(({ values }) => values[paths.indexOf(path)] ?? [])];
    if (stated === null && all.every((one) => one.value === 0)) return [];
    return [
      {
        path,
        words: `${parameterWords(launcher.kind, path)}${note}`,
        stated:
          stated === null
            ? NOT_STATED
            : `${showParameter(launcher.kind, path, stated)}${guessMark(launcher.kind, path, stated)}`,
        tuned: moved ? showParameter(launcher.kind, path, value) : STAYS,
        rivals: rivals.map(({ values }) => {
          const other = values[paths.indexOf(path)];
          if (other === undefined || isSame(other, stated)) return STAYS;
          return showParameter(launcher.kind, path, other);
        }),
      },
    ];
  };
  const movesInRival = (path: string, value: Measured) =>
    rivals.some(({ values }) => {
      const other = values[paths.indexOf(path)];
      return other !== undefined && !isSame(other, value);
    });
  return [
    ...parameters.flatMap((path, i) => row(path, tuned.values[i], !tuned.undetermined.includes(path), "")),
    ...others
      .filter(({ path, value, moved }) => moved || movesInRival(path, value))
      .flatMap(({ path, value, moved }) => row(path, value, moved, BESIDES)),
  ];
}

function isSame(one: Measured, other: Measured | null): boolean {
  return other !== null && one.value === other.value && one.u === other.u;
}

/**
 * What a person should know of a tuning: how well it fits, what it leaves open, what is doubtful. The
 * first says how well it fits.
 */
export function tuneNotices(
  { launcherKind, tuning }: SessionTuning,
  parameters: readonly string[],
  named: readonly NamedShot[],
): readonly TuneNotice[] {
  const nameOf = (path: string) => parameterWords(launcherKind, path);
  return [
    fitNotice(tuning),
    ...rivalNotices(tuning),
    ...undeterminedNotices(tuning, nameOf),
    ...closeNotices(tuning, parameters, nameOf),
    ...farNotices(tuning, launcherKind, named, nameOf),
    ...unstatedNotices(tuning, launcherKind),
    ...scatterNotices(tuning),
  ];
}

/**
 * "Shot 7: predicted 14.21 ± 0.09 m/s, measured 14.15 ± 0.05 m/s; 0.4 % high, inside
 * the ± 0.20 m/s expected."
 */
export function heldOutSays(one: HeldOutShot, named: readonly NamedShot[], units: UnitSet): string {
  const name = shotName(named, one.shotId);
  const speed = (value: HeldOutShot["measured"]) => showMeasured(value, "m/s", units).text;
  const off = Math.abs(100 * one.relative);
  const side = one.relative > 0 ? "high" : "low";
  return `${name}: predicted ${speed(one.predicted)}, measured ${speed(one.measured)}; ${off.toFixed(1)} % ${side}, ${
    one.inside ? "inside" : "outside"
  } the ${within(one, units)} expected of 95 in 100.`;
}

function within({ within: half }: HeldOutShot, units: UnitSet): string {
  const { u, symbol } = showMeasured({ value: 0, u: half }, "m/s", units);
  return `± ${u} ${symbol}`;
}

function fitNotice({ chiSquare, degreesOfFreedom, chance, widened, shots }: LauncherTuning): TuneNotice {
  const numbers = `chi-square ${chiSquare.toFixed(0)} for ${degreesOfFreedom} degrees of freedom`;
  if (widened === 1) return TUNE_NOTICES["tune-fits"](shots.length, numbers);
  const byChance = chance < 0.001 ? "less than once in 1000" : `${(100 * chance).toFixed(1)} % of the time`;
  const times = Math.sqrt(chiSquare / degreesOfFreedom);
  return TUNE_NOTICES["tune-misfit"](times, numbers, byChance, widened > NOISY);
}

function rivalNotices({ rivals }: LauncherTuning): readonly TuneNotice[] {
  const [next] = rivals;
  return next === undefined ? [] : [TUNE_NOTICES["tune-other-answers"](1 + rivals.length, next.more)];
}

function undeterminedNotices(
  { undetermined, together }: LauncherTuning,
  nameOf: NameOf,
): readonly TuneNotice[] {
  return [
    ...(undetermined.length > 0
      ? [TUNE_NOTICES["tune-undetermined"](listed(undetermined.map(nameOf)), undetermined.length)]
      : []),
    ...together.map((group) => TUNE_NOTICES["tune-together"](listed(group.map(nameOf)))),
  ];
}

function closeNotices(
  { inputs, correlation }: LauncherTuning,
  parameters: readonly string[],
  nameOf: NameOf,
): readonly TuneNotice[] {
  const n = inputs.length;
  const told = [...inputs.keys()].filter((i) => inputs[i].moved && parameters.includes(inputs[i].name));
  return told.flatMap((i, k) =>
    told.slice(k + 1).flatMap((j): TuneNotice[] => {
      const r = correlation[i * n + j];
      if (Math.abs(r) < CLOSE) return [];
      return [TUNE_NOTICES["tune-close"](capital(nameOf(inputs[i].name)), nameOf(inputs[j].name), r)];
    }),
  );
}

function farNotices(
  { inputs, shots }: LauncherTuning,
  kind: LauncherKind,
  named: readonly NamedShot[],
  nameOf: NameOf,
): readonly TuneNotice[] {
  const far = inputs.filter(
    ({ stated, tuned, moved }) => moved && Math.abs(tuned.value - stated.value) > FAR_OFF * stated.u,
  );
  const gauges = shots.flatMap(({ shotId, own }) =>
    own.filter(({ inU }) => Math.abs(inU) > FAR_OFF).map(({ name }) => ({ shotId, name })),
  );
  return [
    ...far.map((one) => {
      const inU = Math.abs(one.tuned.value - one.stated.value) / one.stated.u;
      return isGuessOf(kind, one.name, one.stated)
        ? TUNE_NOTICES["tune-far-guess"](nameOf(one.name))
        : TUNE_NOTICES["tune-far"](nameOf(one.name), inU);
    }),
    ...gauges.map(({ shotId, name }) =>
      TUNE_NOTICES["tune-own-far"](shotName(named, shotId), nameOf(name), FAR_OFF),
    ),
  ];
}

function unstatedNotices({ unstated }: LauncherTuning, kind: LauncherKind): readonly TuneNotice[] {
  return unstated.map(({ name, found, present }) => {
    const words = modelInput(kind, name).words.replace(/^the /, "a ");
    if (present) return TUNE_NOTICES["tune-unstated"](words, showParameter(kind, name, found));
    const most = Math.max(0, found.value) + NORMAL_95 * found.u;
    return TUNE_NOTICES["tune-unstated-open"](capital(words), showLimit(kind, name, most));
  });
}

function scatterNotices({ scatter, earlyScatter, shots }: LauncherTuning): readonly TuneNotice[] {
  if (scatter === null) return [TUNE_NOTICES["tune-no-scatter"](shots.length)];
  const early = earlyScatter > 0 ? [TUNE_NOTICES["tune-early"](earlyScatter)] : [];
  return [TUNE_NOTICES["tune-scatter"](scatter), ...early];
}

/** A shot of the document, and what a person calls it. */
interface NamedShot {
  readonly id: string;
  readonly name: string;
}

function shotName(named: readonly NamedShot[], shotId: string): string {
  return named.find(({ id }) => id === shotId)?.name ?? shotId;
}

/** What an input is called, by its path. */
type NameOf = (path: string) => string;

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
