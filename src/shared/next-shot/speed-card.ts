import { launcherModel, modelOf } from "../launchers/launcher-models.ts";
import { withinBudget } from "../numeric/work-budget.ts";
import { launcherInUse } from "../predict/launcher-in-use.ts";
import { elementAt, lastOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { inputNotices, isImpossible } from "../results/input-notices.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { nextShotFaults, oddestInput } from "../session/input-faults.ts";
import { type LaunchInputs, launchInputs } from "../session/launch-inputs.ts";
import type { Launcher, NextShot, Session, Shot } from "../session/schema.ts";
import { launcherOf } from "../session/what-took-part.ts";
import { isRefusal, launcherCautions } from "./as-it-is-set.ts";
import { gathered, ofLauncher, type SaidCell, type SaidColumn } from "./card-cautions.ts";
import type { SpeedCard } from "./card-content.ts";
import { roundSettings } from "./card-settings.ts";
import { type LimitEnd, limitEnds } from "./limit-ends.ts";
import { checkLimits, isInside, type LimitCheck } from "./limits.ts";
import { CARD_NOTICES, type NextNotice } from "./next-notices.ts";
import { allowedFor } from "./next-shot-work.ts";
import { repeatGroups, type Scatter, type ShotSpeed, scatterOf } from "./repeats.ts";
import { type Setting, settingOf } from "./setting.ts";
import { type Predicted, settingModel } from "./setting-model.ts";
import { nodesOf, type SpeedCurve, speedCurve } from "./speed-curve.ts";
import { speedInterval } from "./speed-interval.ts";

/** Masses a quarter page has room for. */
export const CARD_MASSES = 3;
const ROWS = 12;

/**
 * The card of a launcher: what it is filled to, drawn out by or loaded with, and the release speed that
 * gives, each with the interval of the next shot. No speed is given where a limit is not kept, by the same
 * test that refuses it as the next shot; nor any card where no pressure is recommended.
 * @param shot whose airframe, launcher, air and other settings are taken
 * @param speeds measured shots of these, for the scatter
 * @param ask its least stall margin is kept; its `cardMassesKg` are put beside the airframe's own mass
 */
export function speedCard(
  session: Session,
  shot: Shot,
  ask: NextShot,
  speeds: readonly ShotSpeed[],
  allowed: number = CARD_MASSES * allowedFor(launcherOf(session, shot)),
): SpeedCard {
  const launch = launchInputs(session, shot);
  const groups = repeatGroups(speeds, modelOf(launch.launcher)?.hasTank ?? false);
  const nothing: SpeedCard = {
    title: session.title,
    launcher: launch.launcher?.name ?? "",
    kind: null,
    like: shot.name,
    conditions: shot.conditions,
    units: session.units,
    setting: null,
    marks: [],
    rows: [],
    columns: [],
    scatter: scatterOf(launch.tuning, groups),
    leastStallMargin: ask.leastStallMargin,
    cautions: [],
    notices: [],
  };
  const refused = (notices: readonly NextNotice[]): SpeedCard => ({
    ...nothing,
    cautions: launcherCautions(launch).map((notice) => ({ notice, at: null })),
    notices,
  });
  const faults = nextShotFaults(ask, launch.units);
  if (faults.some(isImpossible)) return refused(inputNotices(faults));
  if (launch.launcher === null) return refused([MODEL_NOTICES["no-launcher"]()]);
  const own = launch.airframe.massKg;
  if (own === null) return refused([MODEL_NOTICES["no-airframe-mass"]()]);
  const kind = cardKind(launch.launcher);
  if (kind === null) return refused([CARD_NOTICES["no-card"]()]);
  const masses = [own, ...(ask.cardMassesKg ?? []).map((value) => ({ value, u: own.u }))];
  if (masses.length > CARD_MASSES) return refused([CARD_NOTICES["card-masses"](CARD_MASSES)]);
  const usedPa = session.shots.flatMap(({ conditions }) => conditions.gaugePressurePa ?? []);
  const worked = withinBudget({ evaluations: allowed }, () =>
    kind === "motor"
      ? motorCard(launch, masses, nothing)
      : settingCard(launch, kind, masses, usedPa, nothing),
  );
  return worked.ok ? worked.value : refused([MODEL_NOTICES["too-much-work"]("setting", oddestInput(launch))]);
}

/** What a launcher's card goes by; null where no model describes it. */
export function cardKind(launcher: Launcher | null): "pressure" | "draw" | "motor" | null {
  const choices = (modelOf(launcher)?.settings ?? []).map(({ choose }) => choose);
  return (["pressure", "draw", "motor"] as const).find((one) => choices.includes(one)) ?? null;
}

function withMass(launch: LaunchInputs, massKg: Measured): LaunchInputs {
  return { ...launch, airframe: { ...launch.airframe, massKg } };
}

function settingCard(
  launch: LaunchInputs,
  choose: "pressure" | "draw",
  masses: readonly Measured[],
  usedPa: readonly Measured[],
  nothing: SpeedCard,
): SpeedCard {
  const found = settingOf(launch, choose, usedPa);
  if (!found.ok) return { ...nothing, notices: [found.notice] };
  const setting = found.value;
  const refused = (notices: readonly NextNotice[]): SpeedCard => ({
    ...nothing,
    cautions: launcherCautions(launch).map((notice) => ({ notice, at: null })),
    notices,
  });
  if (setting.withheld !== null) return refused([setting.withheld]);
  const { field, symbol, unit, low } = setting;
  const marks = ownLimits(launch, choose);
  const high = Math.min(setting.high, ...marks.map(({ x }) => x));
  const ofMasses = masses.map((massKg) =>
    massOnCard(withMass(launch, massKg), choose, [low, high], usedPa, nothing),
  );
  const launched = ofMasses.flatMap(({ curve }) => curve.flat());
  if (launched.length === 0) {
    return refused(ofMasses.flatMap(({ why }) => why(high).filter(isRefusal)).slice(0, 1));
  }
  const xs = roundSettings(...rangeShown(ofMasses), unit, launch.units, ROWS);
  const columns = ofMasses.map(({ massKg, ends, cellAt }) => ({ massKg, ends, cells: xs.map(cellAt) }));
  const rows = xs.map((x) => ({ x, name: null }));
  const calledFor = (x: number) => launcherCautions(setting.at(x));
  return {
    ...nothing,
    kind: choose,
    setting: { field, symbol, unit },
    marks,
    rows,
    ...gathered(rows, columns, ofLauncher(rows, elementAt(masses, 0), calledFor)),
  };
}

/** The maker's rating and the relief valve, which are limits of what is set. */
function ownLimits({ launcher }: LaunchInputs, choose: "pressure" | "draw"): SpeedCard["marks"] {
  if (choose !== "pressure" || launcher === null) return [];
  const { rating, relief } = launcherModel(launcher).limits(launcher);
  return [
    ...(rating == null ? [] : [{ name: "rating" as const, x: rating }]),
    ...(relief === undefined ? [] : [{ name: "relief" as const, x: relief }]),
  ];
}

/** What the model says of one mass. */
interface MassOnCard extends Pick<SaidColumn, "massKg" | "ends"> {
  readonly curve: SpeedCurve;
  readonly cellAt: (x: number) => SaidCell;
  readonly why: (x: number) => readonly ShotNotice[];
}

function massOnCard(
  launch: LaunchInputs,
  choose: "pressure" | "draw",
  [low, high]: readonly [number, number],
  usedPa: readonly Measured[],
  { scatter, leastStallMargin }: SpeedCard,
): MassOnCard {
  const found = settingOf(launch, choose, usedPa);
  if (!found.ok) throw new RangeError(`massOnCard: need a launch with a ${choose} to set`);
  const setting: Setting = found.value;
  const model = settingModel(setting);
  const checks = (x: number, there: Predicted | null): readonly LimitCheck[] =>
    there === null ? [] : checkLimits(there, setting.at(x), leastStallMargin, scatter?.relative ?? 0);
  const curve = speedCurve((x) => model.values(x)?.quantities.releaseSpeed?.value ?? null, low, high);
  const between = model.between(nodesOf(curve));
  return {
    massKg: launch.airframe.massKg!,
    curve,
    ends: limitEnds(curve, (x) => checks(x, between(x))),
    cellAt: (x) => cellOf(model.measured(x), checks(x, model.measured(x)), scatter),
    why: model.says,
  };
}

/**
 * The settings worth a row: from the least to the greatest at which any mass keeps all limits, with a little
 * on both sides where they do not; all of them where none does.
 */
function rangeShown(ofMasses: readonly MassOnCard[]): readonly [number, number] {
  const all = ofMasses.flatMap(({ curve }) => curve.flat().map(({ x }) => x));
  const kept = ofMasses.flatMap(({ curve, ends }) =>
    curve.flatMap((run) => {
      const edges = ends.flatMap(({ from, to }) => [from, to]);
      const [first, last] = [elementAt(run, 0).x, lastOf(run).x];
      const places = [...run.map(({ x }) => x), ...edges].filter((x) => x >= first && x <= last);
      // The outermost places of a run belong to an end that reaches them.
      const isIn = (x: number, { from, to }: LimitEnd) =>
        (x > from && x < to) || (x === from && from === first) || (x === to && to === last);
      return places.filter((x) => !ends.some((end) => isIn(x, end)));
    }),
  );
  const [low, high] = [Math.min(...all), Math.max(...all)];
  if (kept.length === 0) return [low, high];
  const [from, to] = [Math.min(...kept), Math.max(...kept)];
  const aside = ASIDE * (to - from);
  return [Math.max(low, from - aside), Math.min(high, to + aside)];
}

const ASIDE = 0.15; // of what keeps the limits: a row or two that name them

function motorCard(launch: LaunchInputs, masses: readonly Measured[], nothing: SpeedCard): SpeedCard {
  const { launcher } = launcherInUse(launch);
  const model = launcherModel(launcher!);
  const own = launch.airframe.massKg!;
  const loads = model.loads(launch.launcher!, launch.airframe);
  const rows = loads.length > 0 ? loads : [{ name: "as loaded", ...launch, launcher: launch.launcher! }];
  const columns = masses.map((massKg): SaidColumn => {
    const more = massKg.value - own.value;
    const cells = rows.map(({ launcher: loaded, airframe }) => {
      const weight = airframe.massKg && { value: airframe.massKg.value + more, u: airframe.massKg.u };
      const at = { ...launch, launcher: loaded, airframe: { ...airframe, massKg: weight } };
      const there = settingModel(asItStands(at)).measured(1);
      const checks =
        there === null
          ? []
          : checkLimits(there, at, nothing.leastStallMargin, nothing.scatter?.relative ?? 0);
      return cellOf(there, checks, nothing.scatter);
    });
    return { massKg, cells, ends: [] };
  });
  const named = rows.map(({ name }) => ({ x: null, name }));
  return {
    ...nothing,
    kind: "motor",
    rows: named,
    ...gathered(
      named,
      columns,
      launcherCautions(launch).map((notice) => ({ notice, at: null })),
    ),
  };
}

/** A setting that changes nothing, so that a launch is asked for as it stands. */
function asItStands(launch: LaunchInputs): Setting {
  return {
    choose: "motor",
    field: "",
    symbol: "",
    unit: "1",
    now: 1,
    u: 0,
    low: 1,
    high: 1,
    highest: "",
    withheld: null,
    at: () => launch,
  };
}

function cellOf(there: Predicted | null, checks: readonly LimitCheck[], scatter: Scatter | null): SaidCell {
  const speed = there?.quantities.releaseSpeed;
  if (there === null || speed === undefined) return { speed: null, interval: null, broken: [], says: [] };
  const measured = { value: speed.value, u: speed.u };
  return {
    speed: measured,
    interval: speedInterval(measured, scatter),
    broken: checks.filter((check) => !isInside([check])).map(({ name }) => name),
    says: there.notices.filter(({ level }) => level === "warning" || level === "danger"),
  };
}
