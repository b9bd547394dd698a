import type { Choose } from "../launchers/launcher-setting.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { settingOf } from "./setting.ts";
import { type Quantities, settingModel } from "./setting-model.ts";

/** What the model says of a launch as one input is changed and all else stays as it is. */
export interface OverSetting {
  /** Runs of neighbouring places, x increasing (SI), between which the launcher launches throughout. */
  readonly runs: readonly (readonly OverSettingPoint[])[];
  /** Why it says nothing at all, as a sentence; null where it says something. */
  readonly whyNot: string | null;
}

export interface OverSettingPoint {
  readonly x: number;
  /** With the u of every input but the one that is changed; between some places in straight lines. */
  readonly quantities: Quantities;
}

const PLACES = 17;
const NODE_STEP = 4; // u is read off in straight lines between every fourth place: it takes most of the time

/**
 * Predicts a launch at equal steps of an input between two values, that input taken as exact.
 * @param from,to SI, from < to
 */
export function overSetting(launch: LaunchInputs, choose: Choose, from: number, to: number): OverSetting {
  const setting = settingOf(launch, choose, []);
  if (!setting.ok) return { runs: [], whyNot: setting.notice.cause };
  const model = settingModel({ ...setting.value, u: 0 });
  const places = Array.from({ length: PLACES }, (_, i) => from + ((to - from) * i) / (PLACES - 1));
  const launches = places.filter((x) => model.values(x) !== null);
  const saidAt = model.between(launches.filter((_, i) => i % NODE_STEP === 0 || i === launches.length - 1));
  const runs: OverSettingPoint[][] = [[]];
  for (const x of places) {
    const said = saidAt(x);
    if (said === null) runs.push([]);
    else runs.at(-1)!.push({ x, quantities: said.quantities });
  }
  const kept = runs.filter((run) => run.length > 1);
  if (kept.length > 0) return { runs: kept, whyNot: null };
  const [cause] = model.says((from + to) / 2).flatMap((one) => (one.level === "refusal" ? [one.cause] : []));
  return { runs: [], whyNot: cause ?? "The launcher does not launch at any of these settings." };
}
