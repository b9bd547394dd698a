import type { PushTrack } from "../../shared/measure/push-track.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { namedShots, outingShotOf } from "../../shared/session/outings.ts";
import type { Session } from "../../shared/session/schema.ts";
import { tuningOf } from "../../shared/session/what-took-part.ts";
import { likelyParameters, tunableIn } from "../../shared/tune/tunable-parameters.ts";
import { outingShotsToTune, parameterFault, shotsFault } from "../../shared/tune/tune-faults.ts";
import type { TuneRequest } from "../../shared/tune/tune-request.ts";
import { type SessionTuning, tuningInUse } from "../../shared/tune/tune-session.ts";
import { heldOutSays, tuneNotices, tuneRows } from "../../shared/tune/tune-words.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createCameraLooks } from "../service/camera-looks.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { type TrackedShots, trackShots } from "../service/track-shots.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords } from "./shot-words.ts";
import { table, wrapped } from "./table.ts";
import { tellBug, UsageError, type Verb, type VerbCall } from "./verb.ts";

export const tuneVerb: Verb = {
  name: "tune",
  usage: "FOLDER [--launcher ID] [--parameters A,B] [--shots X,Y] [--hold-out Z] [--save]",
  summary: "Fits a launcher's uncertain inputs to the measured push of its shots.",
  details: [
    "--launcher ID      the launcher to tune; may be left out where the session has one",
    "--parameters A,B   inputs of the launcher by path, e.g. valve.conductance,slidingN;",
    "                   by default those the session names, else what no tape measures",
    "--shots X,Y        ids of the shots to tune on; by default those the session names,",
    "                   else every measured shot that is not held out, of other outings too;",
    "                   shot-3 of outing-1 is outing-1:shot-3",
    "--hold-out Z       ids of shots kept out, on which the tuned launcher is tried",
    "--save             keeps the tuned values in the session, and predictions use them",
    "The launcher's own inputs are never changed: stated values with their u are where the fit starts from.",
  ],
  operands: [1, 1],
  options: {
    launcher: { type: "string" },
    parameters: { type: "string" },
    shots: { type: "string" },
    "hold-out": { type: "string" },
    save: { type: "boolean" },
  },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    if (options.save === true) await folder.mustBeWritable(); // said before the work
    const launcherId = launcherIn(session, options.launcher);
    const parameters = parametersOf(session, launcherId, options);
    const chosen = shotsFrom(session, launcherId, options);
    const slip =
      parameterFault(tunableIn(session, launcherId), parameters) ??
      shotsFault(session, {
        launcherId,
        shotIds: chosen.named ? chosen.shotIds : [],
        heldOutShotIds: chosen.heldOutShotIds,
      }); // told before any clip is read
    if (slip !== null) throw new FaultError(slip.code, slip.cause, slip.remedy);
    const { tracks, lacking } = await measuredTracks(session, folder, call, chosen);
    const request = { launcherId, parameters, ...withTracks(chosen, session, tracks) };
    const task = { kind: "tune", request, tracks } as const;
    const outcome = await processWorkers().run(session, task, { signal: terminal.signal });
    if (!outcome.ok) throw new FaultError(...wordsOf(outcome.fault, lacking));
    const { value } = outcome;
    const saved = options.save === true;
    if (saved) await save(folder, request, value);
    const notices = tuneNotices(value, request.parameters, namedShots(session));
    if (json) {
      const { correlation, ...tuning } = value.tuning;
      const told = { ...request, saved, tuned: value.tuned, heldOut: value.heldOut, fit: tuning, notices };
      terminal.out(`${JSON.stringify(told, null, 2)}\n`);
    } else terminal.out(`${tuningText(session, request, value)}${noticeWords(notices)}${saved ? SAVED : ""}`);
    return 0;
  },
};

const SAVED = "\nThe tuned values are in the session, and predictions use them.\n";

/** Tracks of the chosen shots that can be measured; for the others, what their first refusal says. */
async function measuredTracks(
  session: Session,
  folder: FieldFolder,
  { terminal, onProgress }: VerbCall,
  { shotIds, heldOutShotIds }: ChosenShots,
): Promise<TrackedShots> {
  const { cacheDir } = personDirs();
  const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir });
  const workers = processWorkers();
  const parts = {
    folder,
    factsOf: createFactsCache(media, cacheDir, createCameraLooks(media, workers, cacheDir)),
    workers,
    log: (bug: unknown) => tellBug(terminal, bug),
  };
  const ids = [...shotIds, ...heldOutShotIds];
  return trackShots(parts, session, ids, { signal: terminal.signal, onProgress });
}

/** The launcher that is named, or the only one there is. */
function launcherIn({ launchers }: Session, given: string | boolean | undefined): string {
  const ids = launchers.map(({ id }) => id).join(", ");
  if (given === undefined && launchers.length > 1) {
    throw new UsageError(`The session has several launchers: say which with --launcher, one of ${ids}.`);
  }
  if (given !== undefined && !launchers.some(({ id }) => id === given)) {
    throw new UsageError(`--launcher takes the id of a launcher: ${ids || "there is none"}; not "${given}".`);
  }
  return typeof given === "string" ? given : (launchers[0]?.id ?? "");
}

function parametersOf(session: Session, launcherId: string, options: VerbCall["options"]): readonly string[] {
  const before = nonEmpty(tuningOf(session, launcherId)?.parameters);
  return listOf(options.parameters) ?? before ?? likelyParameters(tunableIn(session, launcherId));
}

interface ChosenShots extends Pick<TuneRequest, "shotIds" | "heldOutShotIds"> {
  /** Whether the shots to tune on were named, or are all that this launcher threw and can be measured. */
  readonly named: boolean;
}

function shotsFrom(session: Session, launcherId: string, options: VerbCall["options"]): ChosenShots {
  const tuning = tuningOf(session, launcherId);
  const shots = listOf(options.shots);
  const heldOutShotIds =
    listOf(options["hold-out"]) ?? (tuning?.heldOutShotIds ?? []).filter((id) => !shots?.includes(id));
  const remembered = nonEmpty(tuning?.shotIds.filter((id) => !heldOutShotIds.includes(id)));
  const own = session.shots.filter((shot) => shot.launcherId === launcherId);
  const thrown = [...own, ...outingShotsToTune(session, launcherId)]
    .map(({ id }) => id)
    .filter((id) => !heldOutShotIds.includes(id));
  const named = shots ?? remembered;
  return { shotIds: named ?? thrown, heldOutShotIds, named: named !== undefined };
}

/** @param tracks of this session's shots; shots of other outings brought theirs along */
function withTracks(
  { shotIds, heldOutShotIds, named }: ChosenShots,
  session: Session,
  tracks: ReadonlyMap<string, PushTrack>,
): Pick<TuneRequest, "shotIds" | "heldOutShotIds"> {
  const isHere = (id: string): boolean => tracks.has(id) || outingShotOf(session, id) !== null;
  return { shotIds: named ? shotIds : shotIds.filter(isHere), heldOutShotIds };
}

function listOf(given: string | boolean | undefined): readonly string[] | undefined {
  if (typeof given !== "string") return undefined;
  return given
    .split(",")
    .map((one) => one.trim())
    .filter((one) => one !== "");
}

function nonEmpty(list: readonly string[] | undefined): readonly string[] | undefined {
  return list === undefined || list.length === 0 ? undefined : list;
}

/** A fault of shots that were not measured also says what their measurement lacks. */
function wordsOf(
  { code, cause, remedy }: Fault,
  lacking: ReadonlyMap<string, string>,
): [Fault["code"], string, string] {
  if (code !== "no-shots-to-tune" && code !== "shot-not-measured") return [code, cause, remedy];
  const reasons = [...lacking].map(([id, why]) => `${id}: ${why}`);
  return [code, [cause, ...reasons].join(" "), remedy];
}

function save(folder: FieldFolder, request: TuneRequest, { tuned }: SessionTuning): Promise<void> {
  return saveEdits(folder, () => [
    { kind: "set-tuning", launcherId: request.launcherId, tuning: tuningInUse(request, tuned) },
  ]);
}

function tunedHeads(rivals: number): readonly string[] {
  return rivals === 0 ? ["tuned"] : ["tuned, first answer", ...["second", "third"].slice(0, rivals)];
}

function tuningText(session: Session, request: TuneRequest, value: SessionTuning): string {
  const count = request.shotIds.length;
  const rows = tuneRows(value, request.parameters);
  const heldOut = value.heldOut
    .map((one) => wrapped(heldOutSays(one, namedShots(session), session.units), "  "))
    .join("");
  return [
    `${session.launchers.find(({ id }) => id === request.launcherId)?.name ?? ""}, tuned on ${count === 1 ? "one shot" : `${count} shots`}\n`,
    table([
      ["", "stated", ...tunedHeads(rows[0]?.rivals.length ?? 0)],
      ...rows.map(({ words, stated, tuned, rivals }) => [words, stated, tuned, ...rivals]),
    ]),
    heldOut === "" ? "" : `Held out\n${heldOut}`,
  ].join("");
}
