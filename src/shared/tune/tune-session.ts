import type { LauncherKind } from "../inputs/input.ts";
import type { PushTrack } from "../measure/push-track.ts";
import { studentT } from "../numeric/student-t.ts";
import { withinBudget } from "../numeric/work-budget.ts";
import { predictLaunch } from "../predict/predict-shot.ts";
import { entryOf } from "../quantity/known-element.ts";
import type { Measured } from "../quantity/measured.ts";
import { asFault, type Fault } from "../quantity/notice.ts";
import { MODEL_NOTICES } from "../results/notices/model-notices.ts";
import { oddestInput } from "../session/input-faults.ts";
import { type LaunchInputs, launchInputs, outingLaunch } from "../session/launch-inputs.ts";
import { outingShots } from "../session/outings.ts";
import type { Session, Tuning } from "../session/schema.ts";
import { rangesTuned } from "../session/tested-range.ts";
import { effectiveFreedom } from "../uncertainty/effective-freedom.ts";
import { outingTrack } from "./outing-tracks.ts";
import { tunableOfShot } from "./tunable-of-shot.ts";
import { tuneFault } from "./tune-faults.ts";
import { type LauncherTuning, tuneLauncher } from "./tune-launcher.ts";
import type { TuneRequest } from "./tune-request.ts";
import { type ShotToTune, type TuneTrack, trackToTune } from "./tuned-shot.ts";

/**
 * A shot kept out of the tuning: its release speed as the tuned launcher predicts it and as it was measured.
 */
export interface HeldOutShot {
  readonly shotId: string;
  /** m/s; the u holds inputs, tuning and scatter from shot to shot. */
  readonly predicted: Measured;
  readonly measured: Measured;
  /** 1, (predicted - measured)/measured. */
  readonly relative: number;
  /**
   * m/s, half of the interval in which the measured speed is expected with 95 %: both uncertainties together.
   */
  readonly within: number;
  readonly inside: boolean;
  /** m/s, as the launcher as stated predicts it. */
  readonly asStated: Measured | null;
}

export interface SessionTuning {
  /** Of the launcher that was tuned: its inputs are named by their paths within such a one. */
  readonly launcherKind: LauncherKind;
  readonly tuning: LauncherTuning;
  /** What goes into the document. */
  readonly tuned: NonNullable<Tuning["tuned"]>;
  readonly heldOut: readonly HeldOutShot[];
}

export type TuneOutcome =
  | { readonly ok: true; readonly value: SessionTuning }
  | { readonly ok: false; readonly fault: Fault };

const COVERAGE = 0.95;
// for each shot, and one more; a shot of a ram takes 0.5 million, of rocket motors 0.7 million
const EVALUATIONS_EACH = 4e6;
const HANGS_ON = 0.05; // correlation from which an input that stays is kept with the tuned ones

/**
 * Tunes a launcher of the session on some of its shots and tries it on others.
 * @param tracks of the measured shots, by id
 * @param allowed evaluations of the model, as withinBudget counts them
 * @returns the tuning; a fault, in words for a person, when something is missing or does not fit
 */
export function tuneSession(
  session: Session,
  request: TuneRequest,
  tracks: ReadonlyMap<string, PushTrack>,
  allowed: number = EVALUATIONS_EACH * (1 + request.shotIds.length),
): TuneOutcome {
  const all = tracksToTune(session, request, tracks);
  const fault = tuneFault(session, request, all);
  if (fault !== null) return { ok: false, fault };
  const launches = launchesOf(session, [...request.shotIds, ...request.heldOutShotIds]);
  const shots: ShotToTune[] = [];
  for (const id of request.shotIds) {
    const { launcher, airframe, conditions } = entryOf(launches, id);
    const tunable = tunableOfShot(launcher, airframe, { id, conditions });
    if (!tunable.ok) return tunable;
    shots.push({ track: entryOf(all, id), model: tunable.model });
  }
  const worked = withinBudget({ evaluations: allowed }, () => tuneLauncher(shots, request.parameters));
  if (!worked.ok) return { ok: false, fault: tooMuchWork(entryOf(launches, request.shotIds[0])) };
  const result = worked.value;
  if (!result.ok) return { ok: false, fault: refusalFault(result.code, result.numbers, request) };
  const tuned = documentOf(result.value, request.parameters);
  return {
    ok: true,
    value: {
      launcherKind: entryOf(launches, request.shotIds[0]).launcher!.kind,
      tuning: result.value,
      tuned,
      heldOut: heldOut(withTested(launches, session, request, tuned), request, all, tuned),
    },
  };
}

/** Each shot that a request names, resolved once. */
function launchesOf(session: Session, ids: readonly string[]): ReadonlyMap<string, LaunchInputs> {
  const named = session.shots.filter(({ id }) => ids.includes(id));
  const elsewhere = outingShots(session).filter(({ id }) => ids.includes(id));
  return new Map([
    ...named.map((shot) => [shot.id, launchInputs(session, shot)] as const),
    ...elsewhere.flatMap((one) => {
      const launch = outingLaunch(session, one);
      return launch === null ? [] : [[one.id, launch] as const];
    }),
  ]);
}

/** The pushes to tune on: of the session's shots as measured, of other outings' as the session keeps them. */
function tracksToTune(
  session: Session,
  { shotIds, heldOutShotIds }: TuneRequest,
  tracks: ReadonlyMap<string, PushTrack>,
): ReadonlyMap<string, TuneTrack> {
  const asked = outingShots(session).filter(({ id }) => [...shotIds, ...heldOutShotIds].includes(id));
  return new Map([
    ...[...tracks].map(([id, track]) => [id, trackToTune(track)] as const),
    ...asked.map((one) => [one.id, outingTrack(one)] as const),
  ]);
}

function tooMuchWork(launch: LaunchInputs): Fault {
  return asFault(MODEL_NOTICES["too-much-work"]("tuning", oddestInput(launch)));
}

/**
 * The tuning as the document keeps it: the parameters asked for, then what moved with them or
 * bears on their uncertainty.
 */
function documentOf(
  { inputs, correlation, undetermined, scatter, shots, rivals }: LauncherTuning,
  parameters: readonly string[],
): SessionTuning["tuned"] {
  const n = inputs.length;
  const asked = parameters.map((path) => inputs.findIndex(({ name }) => name === path));
  const moved = [...inputs.keys()].filter((i) => inputs[i].moved);
  const others = [...inputs.keys()].filter(
    (i) =>
      !asked.includes(i) &&
      (inputs[i].moved ||
        rivals.some((rival) => rival.inputs[i].moved) ||
        moved.some((j) => Math.abs(correlation[i * n + j]) >= HANGS_ON)),
  );
  const order = [...asked, ...others];
  return {
    values: asked.map((i) => ({ ...inputs[i].tuned })),
    others: others.map((i) => ({
      path: inputs[i].name,
      value: { ...inputs[i].tuned },
      moved: inputs[i].moved,
    })),
    correlation: order.map((i) => order.map((j) => correlation[i * n + j])),
    undetermined: [...undetermined],
    scatter: scatter ?? 0,
    shotCount: shots.length,
    ...(rivals.length > 0 && {
      rivals: rivals.map((rival) => ({ values: order.map((i) => ({ ...rival.inputs[i].tuned })) })),
    }),
  };
}

/** Each launch with where the shots lie that were tuned on: a prediction beyond them is less sure. */
function withTested(
  launches: ReadonlyMap<string, LaunchInputs>,
  session: Session,
  request: TuneRequest,
  tuned: SessionTuning["tuned"],
): ReadonlyMap<string, LaunchInputs> {
  const tested = rangesTuned(session, tuningInUse(request, tuned));
  return new Map([...launches].map(([id, launch]) => [id, { ...launch, tested }]));
}

function heldOut(
  launches: ReadonlyMap<string, LaunchInputs>,
  request: TuneRequest,
  tracks: ReadonlyMap<string, TuneTrack>,
  tuned: SessionTuning["tuned"],
): readonly HeldOutShot[] {
  const tuning = tuningInUse(request, tuned);
  return request.heldOutShotIds.flatMap((shotId) => {
    const launch = entryOf(launches, shotId);
    const speed = (use: boolean) => {
      const tested = use ? launch.tested : [];
      const told = predictLaunch({ ...launch, tuning: { ...tuning, use }, tested }, "shot");
      return told.prediction?.quantities.releaseSpeed;
    };
    const model = speed(true);
    const measured = tracks.get(shotId)?.releaseSpeed ?? undefined;
    if (model === undefined || measured === undefined) return [];
    const predicted = { value: model.value, u: Math.hypot(model.u, tuned.scatter * model.value) };
    const within = factor(model, measured, tuned) * Math.hypot(predicted.u, measured.u);
    const off = predicted.value - measured.value;
    const stated = speed(false);
    return [
      {
        shotId,
        predicted,
        measured: { value: measured.value, u: measured.u },
        relative: off / measured.value,
        within,
        inside: Math.abs(off) <= within,
        asStated: stated === undefined ? null : { value: stated.value, u: stated.u },
      },
    ];
  });
}

/**
 * Coverage factor of the difference: Student's t, since the scatter from shot to shot is known from as many
 * shots as the launcher was tuned on, at the effective degrees of freedom.
 */
function factor(model: Measured, measured: Measured, { scatter, shotCount }: SessionTuning["tuned"]): number {
  const known = Number.POSITIVE_INFINITY;
  const parts = [
    { u: model.u, dof: known },
    { u: measured.u, dof: known },
    { u: scatter * model.value, dof: Math.max(1, shotCount - 1) },
  ];
  return studentT(COVERAGE, effectiveFreedom(parts));
}

function refusalFault(
  code: "no-launch" | "not-settled" | "too-few-data",
  numbers: Readonly<Record<string, number>>,
  { shotIds, parameters }: TuneRequest,
): Fault {
  switch (code) {
    case "no-launch":
      return {
        code,
        cause: `With the launcher as stated the model gives no launch for shot "${shotIds[numbers.shot ?? 0]}".`,
        remedy:
          "See under Model what the prediction of that shot says, and correct the launcher's inputs first.",
      };
    case "too-few-data":
      return {
        code,
        cause: `The shots have ${numbers.rows} frames of the push between them; ${parameters.length} parameters and where each shot starts need ${numbers.needed} or more.`,
        remedy: "Choose fewer parameters, or use more shots.",
      };
    case "not-settled":
      return {
        code,
        cause: `The fit has not settled after ${numbers.steps} steps.`,
        remedy: "Choose fewer parameters, or state the launcher's inputs nearer to the truth.",
      };
  }
}

/** What the session keeps of a tuning that predictions are to use. */
export function tuningInUse(request: TuneRequest, tuned: SessionTuning["tuned"]): Tuning {
  return {
    parameters: [...request.parameters],
    shotIds: [...request.shotIds],
    heldOutShotIds: [...request.heldOutShotIds],
    tuned,
    use: true,
  };
}
