import { inputAtPath } from "../inputs/all-inputs.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { TUNED_NOTICES } from "../results/notices/model-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { StatedLauncher } from "../session/launch-inputs.ts";
import type { Launcher, Tuning } from "../session/schema.ts";
import { type JointInputs, jointInputs } from "../uncertainty/joint-inputs.ts";

type Tuned = NonNullable<Tuning["tuned"]>;

/**
 * The launcher predictions are made with, and how the errors of its inputs are correlated; null
 * when they are independent.
 */
export interface LauncherInUse {
  readonly launcher: Launcher | null;
  readonly joint: JointInputs | null;
}

/**
 * The launcher as stated, or with its tuned values where there are any and they are to be used. Inputs that
 * tuning left as stated keep their value even if it was changed since; an input that is not there is passed
 * over, and `tuningFault` names it.
 */
export function launcherInUse({ launcher, tuning }: StatedLauncher): LauncherInUse {
  if (launcher === null || !tuning?.use || tuning.tuned === null) return { launcher, joint: null };
  const { tuned, parameters } = tuning;
  const all = [
    ...parameters.flatMap((path, i) => {
      const value = tuned.values[i];
      return value === undefined ? [] : [{ path, value, moved: !tuned.undetermined.includes(path) }];
    }),
    ...(tuned.others ?? []),
  ];
  const inUse = all
    .filter(({ moved }) => moved)
    .reduce((now, { path, value }) => withTuned(now, path, value), launcher);
  return { launcher: inUse, joint: jointOf(all, tuned) };
}

/**
 * The launcher by each separate answer that fits the shots it was tuned on about as well; none where no tuned
 * values are used.
 */
export function rivalLaunchers({ launcher, tuning }: StatedLauncher): readonly Launcher[] {
  if (launcher === null || !tuning?.use || tuning.tuned === null) return [];
  const { others = [], rivals = [] } = tuning.tuned;
  const paths = [...tuning.parameters, ...others.map(({ path }) => path)];
  return rivals.map(({ values }) =>
    paths.reduce((now, path, i) => {
      const value = values[i];
      return value === undefined ? now : withTuned(now, path, value);
    }, launcher),
  );
}

/**
 * What keeps tuned values that predictions are to use from being used: one for an input the launcher does not
 * have, or numbers of values and correlations that do not fit together. The window drops values whose
 * launcher was changed; a document edited by hand may hold such.
 * @returns null where there is nothing to use, or nothing wrong with it
 */
export function tuningFault({ launcher, tuning }: StatedLauncher): ShotNotice | null {
  if (launcher === null || !tuning?.use || tuning.tuned === null) return null;
  const { parameters, tuned } = tuning;
  const unknown = parameters.find((path) => inputAt(launcher, path) === null);
  if (unknown !== undefined) return TUNED_NOTICES["tuning-unknown-input"](unknown);
  const count = parameters.length + (tuned.others?.length ?? 0);
  const square =
    tuned.correlation.length === count &&
    tuned.correlation.every((row) => row.length === count && row.every((r) => Math.abs(r) <= 1)) &&
    (tuned.rivals ?? []).every(({ values }) => values.length === count);
  return tuned.values.length === parameters.length && square ? null : TUNED_NOTICES["tuning-broken"](count);
}

/** Inputs that did not move come first: their directions then say what their error does to those that did. */
function jointOf(
  all: readonly { readonly path: string; readonly value: Measured; readonly moved: boolean }[],
  tuned: Tuned,
): JointInputs {
  const order = [...all.keys()].sort(
    (i, j) => Number(elementAt(all, i).moved) - Number(elementAt(all, j).moved) || i - j,
  );
  return jointInputs(
    order.map((i) => elementAt(all, i).path),
    order.map((i) => elementAt(all, i).value.u),
    order.map((i) => order.map((j) => tuned.correlation[i]?.[j] ?? 0)),
  );
}

/** As withInput; an input of its kind that it may lack is put in. */
function withTuned(launcher: Launcher, path: string, value: Measured): Launcher {
  if (inputAt(launcher, path) !== null || !mayBeLacking(launcher, path))
    return withInput(launcher, path, value);
  return { ...launcher, [path]: value };
}

function mayBeLacking({ kind }: Launcher, path: string): boolean {
  return !path.includes(".") && inputAtPath(`launcher.${path}`, kind) !== null;
}

/**
 * A launcher with the input at a path, e.g. "valve.conductance" or "moreValves.0.delayS", replaced;
 * unchanged where there is none.
 */
export function withInput(launcher: Launcher, path: string, value: Measured): Launcher {
  if (inputAt(launcher, path) === null) return launcher;
  return replaced(launcher, path.split("."), value) as Launcher;
}

function replaced(node: unknown, [key, ...rest]: readonly string[], value: Measured): unknown {
  if (key === undefined || typeof node !== "object" || node === null || !(key in node)) return node;
  const inside = (node as Record<string, unknown>)[key];
  const next = rest.length === 0 ? value : replaced(inside, rest, value);
  return Array.isArray(node) ? node.with(Number(key), next) : { ...node, [key]: next };
}

/** The input at a path of a launcher; null where there is none. */
export function inputAt(launcher: Launcher, path: string): Measured | null {
  let node: unknown = launcher;
  for (const key of path.split(".")) {
    if (typeof node !== "object" || node === null) return null;
    node = (node as Record<string, unknown>)[key];
  }
  const found = node as Partial<Measured> | null | undefined;
  return typeof found?.value === "number" && typeof found.u === "number" ? (found as Measured) : null;
}
