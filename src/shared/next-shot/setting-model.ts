import { standingOf } from "../launch/standing.ts";
import { predictLaunch } from "../predict/predict-shot.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { BaseLoad, QuantityName } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { exactInputs } from "./exact-inputs.ts";
import type { Setting } from "./setting.ts";

export type Quantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

/** What the model says at one setting. */
export interface Predicted {
  readonly quantities: Quantities;
  readonly notices: readonly ShotNotice[];
  /** Loads on what carries the launcher, where its rating is stated. */
  readonly baseLoads: readonly BaseLoad[];
}

/** What the launch model says as the setting is changed. Answers are kept, so asking twice costs nothing. */
export interface SettingModel {
  /** Values alone; null where the launcher does not launch. */
  values(x: number): Predicted | null;
  /** With standard uncertainties, the setting's own included; null where there are none. */
  measured(x: number): Predicted | null;
  /** As measured, but with the setting taken as exact. */
  settingExact(x: number): Predicted | null;
  /** Values at x with uncertainties read off between the given places, for many x at little cost. */
  between(nodes: readonly number[]): (x: number) => Predicted | null;
  /** All that the prediction says at x, uncertainties included; why there is none, where there is none. */
  says(x: number): readonly ShotNotice[];
}

/** The launch model of the launch that a setting belongs to. */
export function settingModel(setting: Setting): SettingModel {
  const values = kept((x) => predictedBy(exactInputs(setting.at(x, 0))));
  const measured = kept((x) => predictedBy(setting.at(x, setting.u)));
  const settingExact = kept((x) => (setting.u === 0 ? measured(x) : predictedBy(setting.at(x, 0))));
  return {
    values,
    measured,
    settingExact,
    between(nodes) {
      const known = nodes.flatMap((x) => {
        const there = measured(x);
        if (there === null) return [];
        const ofLoads = Object.fromEntries(there.baseLoads.map(({ way, loadN }) => [way, loadN]));
        return [{ x, known: { ...there.quantities, ...ofLoads } }];
      });
      return (x) => {
        const there = values(x);
        if (there === null || known.length === 0) return null;
        const entries = Object.entries(there.quantities).map(([name, quantity]) => [
          name,
          { ...quantity, u: uBetween(known, x, name) },
        ]);
        const baseLoads = there.baseLoads.map((load) => {
          const loadN = { ...load.loadN, u: uBetween(known, x, load.way) };
          return { ...load, loadN, standing: standingOf(loadN, load.ratedLoadN) };
        });
        return {
          quantities: Object.fromEntries(entries),
          notices: there.notices,
          baseLoads,
        };
      };
    },
    says: (x) => measured(x)?.notices ?? predictLaunch(setting.at(x), "shot").notices,
  };
}

function predictedBy(launch: LaunchInputs): Predicted | null {
  const { prediction, notices } = predictLaunch(launch, "shot");
  if (prediction === null) return null;
  return { quantities: prediction.quantities, notices, baseLoads: prediction.baseLoads ?? [] };
}

/** The u of a quantity, or of a load on the base by its way, read off in straight lines. */
function uBetween(
  known: readonly { readonly x: number; readonly known: Readonly<Record<string, Measured>> }[],
  x: number,
  name: string,
): number {
  const uOf = (i: number): number => elementAt(known, i).known[name]?.u ?? 0;
  const above = known.findIndex((one) => one.x >= x);
  if (above === 0) return uOf(0);
  if (above < 0) return uOf(known.length - 1);
  const [from, to] = [elementAt(known, above - 1).x, elementAt(known, above).x];
  const part = (x - from) / (to - from);
  return (1 - part) * uOf(above - 1) + part * uOf(above);
}

function kept(answer: (x: number) => Predicted | null): (x: number) => Predicted | null {
  const answers = new Map<number, Predicted | null>();
  return (x) => {
    const known = answers.get(x);
    if (known !== undefined) return known;
    const fresh = answer(x);
    answers.set(x, fresh);
    return fresh;
  };
}
