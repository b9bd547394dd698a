import { speedAtAirspeed } from "../launch/stall.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import type { Choose } from "../launchers/launcher-setting.ts";
import { withinBudget } from "../numeric/work-budget.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { inputNotices, isImpossible } from "../results/input-notices.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import { nextShotFaults, oddestInput } from "../session/input-faults.ts";
import { type LaunchInputs, launchInputs } from "../session/launch-inputs.ts";
import type { Launcher, NextShot, Session, Shot } from "../session/schema.ts";
import { launcherOf } from "../session/what-took-part.ts";
import { asItIsSet, isRefusal, launcherCautions, nothingLaunches } from "./as-it-is-set.ts";
import { insideSpeeds, limitEnds } from "./limit-ends.ts";
import { checkLimits, isInside, type LimitCheck } from "./limits.ts";
import { motorChoices } from "./motor-choice.ts";
import type { NextNotice } from "./next-notices.ts";
import { outOfReach, outsideLimits } from "./next-shot-refusals.ts";
import type { NextShotAnswer, NextShotReport } from "./next-shot-report.ts";
import { allowedFor } from "./next-shot-work.ts";
import { repeatGroups, type Scatter, type ShotSpeed, scatterOf } from "./repeats.ts";
import { saidOnce } from "./said-once.ts";
import { choicesFor, type Setting, settingOf } from "./setting.ts";
import { type Predicted, type SettingModel, settingModel } from "./setting-model.ts";
import {
  extremesOf,
  nodesOf,
  type SpeedCurve,
  type SpeedPoint,
  settingsGiving,
  speedCurve,
} from "./speed-curve.ts";
import { chanceWithin, speedInterval } from "./speed-interval.ts";

/**
 * What is asked of the next shot. Where nothing was: no speed, and what one thinks of first on such a
 * launcher; so too where what was to be changed belongs to a launcher that has been replaced since.
 */
export function askOf(asked: Session["nextShot"], launcher: Launcher | null): NextShot {
  const choices = choicesFor(launcher);
  const first = choices[0] ?? ("pressure" as Choose);
  if (asked === undefined) return { speedMPerS: null, choose: first, leastStallMargin: null };
  return choices.length === 0 || choices.includes(asked.choose) ? asked : { ...asked, choose: first };
}

/**
 * The setting that gives a wanted release speed, by the launch model under one shot's conditions: the range
 * is looked through (it need not be monotone), every crossing closed in on; of several the first inside all
 * limits is taken, for pressure the lowest, else the nearest to the present. With it: the next shot's
 * prediction interval, every limit with its margin, and the speeds between which all limits are kept.
 * @param shot whose airframe, launcher, air, wind and other settings are taken
 * @param speeds measured shots of that airframe and launcher, for scatter and repeats
 * @param allowed evaluations of the model, as withinBudget counts them
 * @returns a report; a refusal notice, and no answer, when there is no such setting; a refusal notice beside
 *   the answer when it breaks a limit
 */
export function nextShot(
  session: Session,
  shot: Shot,
  ask: NextShot,
  speeds: readonly ShotSpeed[],
  allowed: number = allowedFor(launcherOf(session, shot)),
): NextShotReport {
  const launch = launchInputs(session, shot);
  const alike = session.shots.filter(({ launcherId }) => launcherId === shot.launcherId);
  const usedPa = alike.flatMap(({ conditions }) => conditions.gaugePressurePa ?? []);
  const groups = repeatGroups(speeds, modelOf(launch.launcher)?.hasTank ?? false);
  const scatter = scatterOf(launch.tuning, groups);
  const nothing: NextShotReport = {
    shotId: shot.id,
    ask,
    setting: null,
    answer: null,
    limits: [],
    inside: null,
    withheld: false,
    reach: null,
    scatter,
    groups,
    curve: [],
    stall: [],
    ends: [],
    motors: [],
    cautions: [],
    notices: [],
  };
  const faults = nextShotFaults(ask, launch.units);
  const told = inputNotices(faults);
  const unanswered = (notices: readonly NextNotice[]): NextShotReport => {
    const { limits, cautions } = asItIsSet(launch, ask.leastStallMargin, scatter?.relative ?? 0);
    return { ...nothing, limits, cautions, notices };
  };
  if (faults.some(isImpossible)) return unanswered(told);
  const found = settingOf(launch, ask.choose, usedPa);
  if (!found.ok) return unanswered([found.notice]);
  const worked = withinBudget({ evaluations: allowed }, () => lookedFor(launch, ask, found.value, nothing));
  if (!worked.ok)
    return {
      ...nothing,
      cautions: launcherCautions(launch),
      notices: [...told, MODEL_NOTICES["too-much-work"]("setting", oddestInput(launch))],
    };
  return { ...worked.value, notices: [...told, ...worked.value.notices] };
}

function lookedFor(
  launch: LaunchInputs,
  ask: NextShot,
  setting: Setting,
  nothing: NextShotReport,
): NextShotReport {
  const { scatter } = nothing;
  const { units } = launch;
  const model = settingModel(setting);
  const speedAt = (x: number) => model.values(x)?.quantities.releaseSpeed?.value ?? null;
  const curve = speedCurve(speedAt, setting.low, setting.high);
  const { field, symbol, unit, now, low, high } = setting;
  const base = { ...nothing, setting: { field, symbol, unit, now, low, high } };
  const asSet = asItIsSet(launch, ask.leastStallMargin, scatter?.relative ?? 0);
  const told = { limits: asSet.limits, cautions: asSet.cautions };
  const reach = extremesOf(curve.flat());
  if (reach === null) {
    return { ...base, ...nothingLaunches(setting, model, asSet, units) };
  }
  const between = model.between(nodesOf(curve));
  const checksOf = (x: number, there: Predicted | null): readonly LimitCheck[] | null =>
    there && checkLimits(there, setting.at(x), ask.leastStallMargin, scatter?.relative ?? 0);
  const ends = limitEnds(curve, (x) => checksOf(x, between(x)));
  const keeps = (x: number) => isInside(checksOf(x, model.measured(x)) ?? []);
  const inside = insideSpeeds(curve, ends, speedAt, keeps);
  const report: NextShotReport = {
    ...base,
    reach,
    inside,
    ends,
    curve: curve.map((run) =>
      run.map(({ x, speed }) => ({ x, speed, u: between(x)?.quantities.releaseSpeed?.u ?? 0 })),
    ),
    stall: stallLine(curve, setting, model, ask.leastStallMargin),
    motors: motorChoices(launch),
  };
  if (setting.withheld !== null) {
    // What the model says may be looked at; no pressure is named, not even as the greatest inside the limits.
    return { ...report, inside: null, withheld: true, ...told, notices: [setting.withheld] };
  }
  const wanted = ask.speedMPerS;
  const settings = wanted === null ? [] : settingsGiving(wanted.value, curve, speedAt);
  if (wanted === null || settings.length === 0) {
    const notices = wanted === null ? asSet.refusals : [outOfReach(report, wanted, units)];
    return { ...report, ...told, notices };
  }
  const inOrder = [...settings].sort((a, b) =>
    ask.choose === "pressure" || now === null ? a - b : Math.abs(a - now) - Math.abs(b - now),
  );
  const x = inOrder.find((one) => isInside(checksOf(one, between(one)) ?? [])) ?? elementAt(inOrder, 0);
  const solved = answerAt(x, wanted, model, speedAt, setting, scatter);
  if (solved === null) {
    const said = model.says(x);
    return { ...report, notices: said.filter(isRefusal), cautions: said.filter((one) => !isRefusal(one)) };
  }
  const limits = checksOf(x, model.measured(x)) ?? [];
  const insideLimits = isInside(limits);
  const answer = { ...solved, others: settings.filter((one) => one !== x), insideLimits };
  const whole = { ...report, answer, ...saidOnce(limits, model.says(x)) };
  return insideLimits ? whole : { ...whole, notices: [outsideLimits(whole, wanted, units)] };
}

function answerAt(
  x: number,
  wanted: Measured,
  model: SettingModel,
  speedAt: (x: number) => number | null,
  setting: Setting,
  scatter: Scatter | null,
): Omit<NextShotAnswer, "others" | "insideLimits"> | null {
  const speed = model.measured(x)?.quantities.releaseSpeed;
  const withoutOwn = model.settingExact(x)?.quantities.releaseSpeed;
  if (speed === undefined || withoutOwn === undefined) return null;
  const slope = slopeAt(speedAt, x, setting);
  const interval = speedInterval({ value: wanted.value, u: speed.u }, scatter);
  return {
    setting: { value: x, u: slope === 0 ? 0 : withoutOwn.u / Math.abs(slope) },
    slope,
    speed: { value: speed.value, u: speed.u },
    interval,
    chanceAsWanted: wanted.u > 0 ? chanceWithin(wanted.u, interval) : null,
  };
}

const SLOPE_STEP = 1e-3; // of the range: far above the model's own rounding, far below its curvature

function slopeAt(speedAt: (x: number) => number | null, x: number, { low, high }: Setting): number {
  const h = SLOPE_STEP * (high - low);
  const here = speedAt(x)!;
  const [below, above] = [x - h >= low ? speedAt(x - h) : null, x + h <= high ? speedAt(x + h) : null];
  const width = (below === null ? 0 : h) + (above === null ? 0 : h);
  return width === 0 ? 0 : ((above ?? here) - (below ?? here)) / width;
}

/**
 * The release speed that gives the least stall margin in the day's air and wind. Left out where the
 * model gives no stall speed.
 */
function stallLine(
  curve: SpeedCurve,
  setting: Setting,
  model: SettingModel,
  least: number | null,
): readonly SpeedPoint[] {
  if (least === null) return [];
  return curve.flat().flatMap(({ x }): SpeedPoint[] => {
    const quantities = model.values(x)?.quantities;
    const [stall, angle] = [quantities?.stallSpeed?.value, quantities?.launchAngle?.value];
    if (stall === undefined || angle === undefined) return [];
    const w = setting.at(x).conditions.headwindMPerS.value;
    return [{ x, speed: speedAtAirspeed(least * stall, angle, w) }];
  });
}
