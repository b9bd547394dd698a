import { launcherModel, modelOf } from "../launchers/launcher-models.ts";
import type { Choose } from "../launchers/launcher-setting.ts";
import { launcherInUse } from "../predict/launcher-in-use.ts";
import type { Measured, Unit } from "../quantity/measured.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import type { Launcher } from "../session/schema.ts";
import { type NextNotice, SETTING_NOTICES } from "./next-notices.ts";

/** The one input that is changed to get the wanted speed. */
export interface Setting {
  readonly choose: Choose;
  /** What a person calls it, e.g. "Tank pressure, gauge". */
  readonly field: string;
  readonly symbol: string;
  readonly unit: Unit;
  /** What it is now; null when not known. */
  readonly now: number | null;
  /** Standard uncertainty with which it is set or read. */
  readonly u: number;
  /** Between which values it is looked for. */
  readonly low: number;
  readonly high: number;
  /** What the range ends at, as the end of a sentence; nothing where there is nothing to say. */
  readonly highest: string;
  /** Why no value of it is recommended; null where one may be. */
  readonly withheld: ShotNotice | null;
  /** The launch with the input at x. */
  readonly at: (x: number, u?: number) => LaunchInputs;
}

export type SettingOrWhyNot =
  | { readonly ok: true; readonly value: Setting }
  | { readonly ok: false; readonly notice: NextNotice };

/**
 * What can be changed on a launcher to change the release speed; none where no model says what it would do.
 */
export function choicesFor(launcher: Launcher | null): readonly Choose[] {
  return (modelOf(launcher)?.settings ?? []).map(({ choose }) => choose);
}

/**
 * The input to change, with the limits within which it is looked for; each kind of launcher states its own.
 * @param usedPa gauge pressures that the day's shots were made with
 */
export function settingOf(
  launch: LaunchInputs,
  choose: Choose,
  usedPa: readonly Measured[],
): SettingOrWhyNot {
  const { launcher } = launcherInUse(launch);
  if (launcher === null) return whyNot(MODEL_NOTICES["no-launcher"]());
  const { push, settings } = launcherModel(launcher);
  if (push === null) return whyNot(SETTING_NOTICES["no-model"]());
  const setting = settings.find((one) => one.choose === choose);
  if (setting === undefined) {
    const can = settings.map((one) => WORDS[one.choose]);
    return whyNot(SETTING_NOTICES["not-on-this-launcher"](WORDS[choose], can));
  }
  const range = setting.range(launcher, launch, usedPa);
  if (!range.ok) return whyNot(range.notice);
  const { u, at } = range.value;
  const withheld = setting.withheld?.(launcher) ?? null;
  const field = setting.called?.field ?? SETTING_FIELDS[choose].field;
  return {
    ok: true,
    value: {
      choose,
      ...SETTING_FIELDS[choose],
      field,
      highest: "",
      ...range.value,
      withheld,
      at: (x, own = u) => at(x, own),
    },
  };
}

/** What a person calls each input in the middle of a sentence. */
export const WORDS: Readonly<Record<Choose, string>> = {
  pressure: "tank pressure",
  mass: "airframe's mass",
  stroke: "stroke",
  motor: "motor",
  draw: "draw of the line",
};

/** What the level axis of a figure over an input is called. */
export const SETTING_FIELDS: Readonly<Record<Choose, { field: string; symbol: string; unit: Unit }>> = {
  pressure: { field: "Tank pressure, gauge", symbol: "p", unit: "Pa" },
  mass: { field: "All-up mass", symbol: "m", unit: "kg" },
  stroke: { field: "Stroke", symbol: "L", unit: "m" },
  motor: { field: "Thrust, times the present", symbol: "", unit: "1" },
  draw: { field: "Draw of the line", symbol: "x", unit: "m" },
};

function whyNot(notice: NextNotice): SettingOrWhyNot {
  return { ok: false, notice };
}
