import type { Choose } from "../launchers/launcher-setting.ts";
import { settingOf } from "../next-shot/setting.ts";
import type { Measured } from "../quantity/measured.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import type { DayShot } from "./day-columns.ts";

/** What shots of a day are set against. */
export const AGAINST = ["pressure", "mass", "draw"] as const satisfies readonly Choose[];
export type Against = (typeof AGAINST)[number];

/** A measured shot at the setting it was made with. */
export interface SetShot {
  readonly one: DayShot;
  /** SI */
  readonly at: Measured;
}

/** Shots of one airframe on one launcher. */
export interface DayKind {
  readonly key: string;
  /** Tells it from the other kinds of the day. */
  readonly label: string;
  readonly shots: readonly SetShot[];
}

/** Shots over one input: those that stand at a value of it, by kind, and why the others do not. */
export interface DayKinds {
  readonly against: Against;
  readonly kinds: readonly DayKind[];
  readonly left: readonly { readonly name: string; readonly why: string }[];
  /** SI, with room on both sides; null without shots. */
  readonly range: readonly [number, number] | null;
}

/** The inputs that at least one of the shots has a value of. */
export function againstOf(shots: readonly DayShot[]): readonly Against[] {
  return AGAINST.filter((against) =>
    shots.some((one) => isMeasured(one) && settingAt(one, against) !== null),
  );
}

/** The shots by what was launched with what, in the session's order, each at its value of an input. */
export function kindsOf(shots: readonly DayShot[], against: Against): DayKinds {
  const left: { name: string; why: string }[] = [];
  const found = new Map<string, SetShot[]>();
  for (const one of [...shots].sort((a, b) => a.number - b.number)) {
    const at = settingAt(one, against);
    if (!isMeasured(one)) left.push({ name: one.shot.name, why: "not measured" });
    else if (at === null) left.push({ name: one.shot.name, why: MISSING[against] });
    else {
      const key = `${one.shot.airframeId} ${one.shot.launcherId}${otherMass(one, against)}`;
      found.set(key, [...(found.get(key) ?? []), { one, at }]);
    }
  }
  const groups = [...found];
  const labels = toldApart(groups.map(([, set]) => labelOf(set[0]!.one.launch, groups)));
  return {
    against,
    kinds: groups.map(([key, set], i) => ({
      ...{ key, label: `${labels[i]!}${otherMass(set[0]!.one, against)}`, shots: set },
    })),
    left,
    range: rangeOf(groups.flatMap(([, set]) => set.map(({ at }) => at))),
  };
}

/** What tells an airframe that was heavier or lighter in another outing from itself; nothing against mass. */
function otherMass({ outing }: DayShot, against: Against): string {
  return outing === undefined || outing.asHeavy || against === "mass" ? "" : ` as in ${outing.title}`;
}

/** Names with a number after those that came before. */
export function toldApart(names: readonly string[]): readonly string[] {
  const seen = new Map<string, number>();
  return names.map((name) => {
    const count = (seen.get(name) ?? 0) + 1;
    seen.set(name, count);
    return count === 1 ? name : `${name} (${count})`;
  });
}

const MISSING: Readonly<Record<Against, string>> = {
  pressure: "no tank pressure",
  mass: "no mass of its airframe",
  draw: "no draw on its launcher",
};

function isMeasured({ result }: DayShot): boolean {
  return result?.measurement != null;
}

function settingAt({ shot, launch }: DayShot, against: Against): Measured | null {
  if (against === "pressure") return shot.conditions.gaugePressurePa;
  if (against === "mass") return launch.airframe.massKg;
  const setting = settingOf(launch, against, []);
  return setting.ok && setting.value.now !== null ? { value: setting.value.now, u: setting.value.u } : null;
}

/** Only what differs between the kinds is in their names. */
function labelOf(
  { airframe, launcher }: LaunchInputs,
  groups: readonly (readonly [string, readonly SetShot[]])[],
): string {
  const differ = (of: (launch: LaunchInputs) => string) =>
    new Set(groups.map(([, set]) => of(set[0]!.one.launch))).size > 1;
  const launcherName = (launch: LaunchInputs) => launch.launcher?.name ?? "no launcher stated";
  const parts = [
    ...(differ((launch) => launch.airframe.name) ? [airframe.name] : []),
    ...(differ(launcherName) ? [launcherName({ launcher } as LaunchInputs)] : []),
  ];
  return parts.length === 0 ? airframe.name : parts.join(", ");
}

const ASIDE = 0.2; // of the span
const LEAST_ASIDE = 0.15; // of the value

/** From below the least to above the greatest, bars of two u included. */
function rangeOf(all: readonly Measured[]): readonly [number, number] | null {
  if (all.length === 0) return null;
  const low = Math.min(...all.map(({ value, u }) => value - 2 * u));
  const high = Math.max(...all.map(({ value, u }) => value + 2 * u));
  const room = Math.max(ASIDE * (high - low), LEAST_ASIDE * Math.abs(high));
  // A hundredth of the greatest: pressures, masses and draws are above nothing.
  return [Math.max(high / 100, low - room), high + room];
}
