import type { Measured } from "../quantity/measured.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import type { Launcher, NextShot, Tuning } from "../session/schema.ts";

export type Choose = NextShot["choose"];

/** Where an input stands, between which values it is looked for, and what changing it changes. SI. */
export interface SettingRange {
  /** What it is now; null when not known. */
  readonly now: number | null;
  /** Standard uncertainty with which it is set or read. */
  readonly u: number;
  readonly low: number;
  readonly high: number;
  /** What the range ends at, as the end of a sentence: "a quarter above the tank's rating". */
  readonly highest?: string;
  /** The launch with the input at a value with a standard uncertainty. */
  readonly at: (value: number, u: number) => LaunchInputs;
}

/** The range of an input, or why it has none. */
export type RangeOrWhyNot =
  | { readonly ok: true; readonly value: SettingRange }
  | { readonly ok: false; readonly notice: ShotNotice };

/** An input that a person can change to get a release speed. */
export interface LauncherSetting<L extends Launcher> {
  readonly choose: Choose;
  /** What it is called on this kind of launcher, where that differs from the others. */
  readonly called?: SettingWords;
  /**
   * @param launcher the one predictions are made with, tuned values in place
   * @param launch what the setting changes: the launcher in it is as stated
   * @param usedPa gauge pressures that the day's shots were made with
   */
  range(launcher: L, launch: LaunchInputs, usedPa: readonly Measured[]): RangeOrWhyNot;
  /**
   * Why no value of it is recommended on this launcher, however well it gives the speed; null or left out:
   * one may be.
   */
  withheld?(launcher: L): ShotNotice | null;
}

export interface SettingWords {
  /** Of a field: "Travel on the cradle". */
  readonly field: string;
  /** In the middle of a sentence: "the travel on the cradle". */
  readonly words: string;
}

/** The airframe's mass, from half to twice what it is. */
export const MASS_SETTING: LauncherSetting<Launcher> = {
  choose: "mass",
  range(_launcher, launch) {
    const { airframe } = launch;
    const { massKg } = airframe;
    if (massKg === null) return { ok: false, notice: MODEL_NOTICES["no-airframe-mass"]() };
    return settingRange(massKg, [0.5, 2], (value, u) => ({
      ...launch,
      airframe: { ...airframe, massKg: { value, u } },
    }));
  },
};

/** From a least to a greatest multiple of what an input is now. */
export function settingRange(
  now: Measured,
  [least, most]: readonly [number, number],
  at: SettingRange["at"],
): RangeOrWhyNot {
  const { value, u } = now;
  return { ok: true, value: { now: value, u, low: value * least, high: value * most, at } };
}

/**
 * A length of the launcher between two multiples of what it is; a tuned value of the
 * same input gives way to it.
 */
export function lengthRange<Key extends string>(
  launcher: Launcher & Readonly<Record<Key, Measured>>,
  launch: LaunchInputs,
  key: Key,
  between: readonly [number, number],
): RangeOrWhyNot {
  return settingRange(launcher[key], between, (value, u) => ({
    ...launch,
    launcher: { ...launch.launcher!, [key]: { value, u } } as Launcher,
    tuning: withTuned(
      launch.tuning,
      (path) => path === key,
      () => ({ value, u }),
    ),
  }));
}

/** The tuned values of the named inputs changed as the launcher's own are. */
export function withTuned(
  tuning: Tuning | undefined,
  isMeant: (path: string) => boolean,
  change: (value: Measured) => Measured,
): Tuning | undefined {
  if (tuning?.tuned == null) return tuning;
  const values = tuning.tuned.values.map((value, i) =>
    isMeant(tuning.parameters[i] ?? "") ? change(value) : value,
  );
  const others = tuning.tuned.others?.map((one) =>
    isMeant(one.path) ? { ...one, value: change(one.value) } : one,
  );
  return { ...tuning, tuned: { ...tuning.tuned, values, ...(others && { others }) } };
}
