import { launcherModel } from "../launchers/launcher-models.ts";
import { predictLaunch } from "../predict/predict-shot.ts";
import type { UnitSet } from "../quantity/display.ts";
import { gravestFirst } from "../quantity/notice.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { checkLimits, type LimitCheck } from "./limits.ts";
import { SETTING_NOTICES } from "./next-notices.ts";
import type { NextShotReport } from "./next-shot-report.ts";
import { plainNumber } from "./plain-number.ts";
import { saidOnce } from "./said-once.ts";
import type { Setting } from "./setting.ts";
import type { SettingModel } from "./setting-model.ts";

/** What holds of the launch as it is set, whatever was asked for. */
export interface AsItIsSet {
  /** Those that need a prediction cannot be checked where there is none. */
  readonly limits: readonly LimitCheck[];
  readonly cautions: readonly ShotNotice[];
  /** Why nothing is predicted; empty where something is. */
  readonly refusals: readonly ShotNotice[];
}

/** Limits and cautions of the launch as it is set: told also where no setting can be named. */
export function asItIsSet(launch: LaunchInputs, leastStallMargin: number | null, scatter: number): AsItIsSet {
  if (launch.launcher === null) return { limits: [], cautions: [], refusals: [] };
  const { prediction, notices } = predictLaunch(launch, "shot");
  const { quantities = {}, baseLoads = [] } = prediction ?? {};
  const checks = checkLimits({ quantities, baseLoads }, launch, leastStallMargin, scatter);
  const refusals = notices.filter(isRefusal);
  return {
    ...saidOnce(
      checks,
      notices.filter((one) => !isRefusal(one)),
    ),
    refusals,
  };
}

/** What the launcher calls for where nothing of it can be followed. */
export function launcherCautions(launch: LaunchInputs): readonly ShotNotice[] {
  const { launcher } = launch;
  return launcher === null ? [] : gravestFirst(launcherModel(launcher).cautions.ofShot(launcher, launch));
}

/** Why nothing is launched at any value of the setting: as it is set, or at the most there is. */
export function nothingLaunches(
  { field, unit, low, high, highest, now }: Setting,
  model: SettingModel,
  { refusals, ...asSet }: AsItIsSet,
  units: UnitSet,
): Pick<NextShotReport, "notices" | "cautions" | "limits"> {
  const said =
    refusals.length > 0 && now !== null ? refusals : model.says((low + high) / 2).filter(isRefusal);
  if (now === null || refusals.length > 0) return { ...asSet, notices: said };
  // Set beyond the range, where it does launch: past a quarter above the tank's rating.
  const shown = (value: number) => plainNumber(value, unit, units);
  const nothing = SETTING_NOTICES["nothing-launches"](field, `from ${shown(low)} to ${shown(high)}`, highest);
  return { ...asSet, notices: [nothing, ...model.says(high).filter(isRefusal)] };
}

export function isRefusal({ level }: ShotNotice): boolean {
  return level === "refusal";
}
