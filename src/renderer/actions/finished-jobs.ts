import { clipVersion } from "../../shared/api/client.ts";
import type { JobAbout, JobReply } from "../../shared/api/job-contract.ts";
import { marksOf } from "../../shared/follow/follow-words.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { Edit } from "../../shared/session/edits.ts";
import { tuningRestsOn } from "../../shared/session/rests-on.ts";
import { tunableIn, tunableParameters } from "../../shared/tune/tunable-parameters.ts";
import { type AppNotice, type AppState, sessionOf } from "../app-state/app-state.ts";
import type { WaitingResult } from "../app-state/waiting-result.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import { drawKey, setDrawn } from "./draw-inputs.ts";
import { followKey, setFollowed } from "./follow-point.ts";
import { isOurs, type Jobs } from "./jobs.ts";
import { setTuned, TUNE_KEY, tuningIn } from "./tune-launcher.ts";

export interface WaitingParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly service: Service;
  readonly change: (edit: Edit) => void;
  readonly tell: (level: AppNotice["level"], fault: Fault) => void;
}

/** Key of the work that makes the write-up. */
export const WRITE_UP_KEY = "write-up";

/**
 * Takes up the folder's jobs: those that run are shown and followed to their end; what the others came to is
 * put where it belongs, or offered where what it rests on is no longer so.
 */
export async function takeUpJobs(parts: WaitingParts): Promise<void> {
  try {
    const found = await parts.service.jobs();
    await Promise.all(found.map((job) => takeUp(parts, job)));
  } catch (error) {
    parts.tell("warning", faultOf(error));
  }
}

async function takeUp(parts: WaitingParts, found: JobReply): Promise<void> {
  const { about } = found;
  if (about === null) return;
  try {
    const job = await parts.jobs.adopt(keyOf(about), found.id);
    if (!isOurs(job)) return;
    // What ended in sight of this window is no news from a time when there was none.
    const since = found.state === "running" ? "" : ` while this window was closed${timeOf(job)}`;
    await settle(parts, job, about, since);
  } catch (error) {
    parts.tell("warning", faultOf(error));
  }
}

async function settle(parts: WaitingParts, job: JobReply, about: JobAbout, since: string): Promise<void> {
  switch (about.kind) {
    case "follow":
      return settleMarks(parts, job, about, since);
    case "tune":
      return settleTuning(parts, job, about, since);
    case "draw":
      return settleDrawn(parts, job, about, since);
    case "write-up":
      parts.tell("note", {
        code: "write-up-made",
        cause: `The write-up was made${since}.`,
        remedy: `It is in the field folder: ${job.files?.[0] ?? "write-up"} and the files beside it.`,
      });
      return parts.jobs.take(job);
  }
}

type About<K extends JobAbout["kind"]> = Extract<JobAbout, { kind: K }>;

async function settleMarks(
  parts: WaitingParts,
  job: JobReply,
  { shotId, ways, ...about }: About<"follow">,
  since: string,
): Promise<void> {
  if (job.followed === null) return;
  const { followed } = job;
  const points = ways.flatMap(({ pointId, point }, i) => {
    const own = followed[i];
    return own === undefined ? [] : [{ pointId, point, followed: own }];
  });
  const names = [...new Set(points.map(({ point }) => `the ${point}`))].join(", ");
  const of = `${names.charAt(0).toUpperCase()}${names.slice(1)}${nameIn(parts, shotId)}`;
  const marks = points.flatMap((one) => marksOf(one.followed));
  const says = `${of} ${names.includes(",") ? "were" : "was"} followed${since}: ${marksSay(marks)}`;
  const doubts = ways.map((way) => followDoubt(parts.store.get(), shotId, about, way));
  const doubt = doubts.find((one) => one.doubt !== null)?.doubt ?? null;
  if (doubt !== null) {
    const canTake = doubts.some((one) => one.canTake);
    return offer(parts.store, { kind: "follow", job, says, doubt, canTake, shotId, points });
  }
  setFollowed(parts, shotId, points);
  parts.tell("note", { code: "followed-meanwhile", cause: `${says}.`, remedy: "Undo takes the marks back." });
  return parts.jobs.take(job);
}

/** What a follow depends on that has changed. */
function followDoubt(
  state: AppState,
  shotId: string,
  { clip, clipVersion: version }: Pick<About<"follow">, "clip" | "clipVersion">,
  { pointId, seed }: About<"follow">["ways"][number],
): { readonly doubt: string | null; readonly canTake: boolean } {
  const session = sessionOf(state);
  const shot = session.shots.find(({ id }) => id === shotId);
  if (shot === undefined) return { doubt: "Its shot has been removed since.", canTake: false };
  if (!session.points.some(({ id }) => id === pointId)) {
    return { doubt: "Its point has been removed since.", canTake: false };
  }
  if (shot.clip !== clip) return { doubt: `${shot.name} has another clip now.`, canTake: false };
  const entry = state.clips.find(({ name }) => name === clip);
  if (entry !== undefined && clipVersion(entry) !== version) {
    return { doubt: `${clip} is another file now than the one that was followed.`, canTake: true };
  }
  const [x, y] = seed.at;
  const hand = shot.marks.find((one) => one.pointId === pointId && one.frame === seed.frame);
  const where = `The hand mark it began at, in frame ${seed.frame},`;
  if (hand?.by !== "hand") return { doubt: `${where} is gone.`, canTake: true };
  if (hand.x !== x || hand.y !== y) return { doubt: `${where} has been moved since.`, canTake: true };
  return { doubt: null, canTake: true };
}

async function settleTuning(
  { store, tell }: WaitingParts,
  job: JobReply,
  { launcherId, parameters, shotIds, heldOutShotIds, restsOn }: About<"tune">,
  since: string,
): Promise<void> {
  const value = tuningIn(job);
  if (value === null) return;
  const session = sessionOf(store.get());
  const on = shotIds.length === 1 ? "one shot" : `${shotIds.length} shots`;
  const says = `The launcher was tuned on ${on}${since}.`;
  const same = tuningRestsOn(session, launcherId, shotIds) === restsOn;
  const able = new Set(tunableParameters(tunableIn(session, launcherId)).map(({ path }) => path));
  offer(store, {
    kind: "tune",
    job,
    says,
    doubt: same
      ? null
      : "The launcher, the airframe, a camera or a shot it was tuned on has been changed since.",
    canTake: parameters.every((path) => able.has(path)),
    request: { launcherId, parameters, shotIds, heldOutShotIds },
    value,
  });
  tell("note", {
    code: "tuned-meanwhile",
    cause: says,
    remedy: "Under Tuning you see the values, and take or discard them.",
  });
}

async function settleDrawn(
  parts: WaitingParts,
  job: JobReply,
  { shotId, restsOn }: About<"draw">,
  since: string,
): Promise<void> {
  const { store, tell, jobs } = parts;
  if (job.drawn === null) return;
  await untilMeasured(store);
  if (!setDrawn(store, job.drawn, restsOn)) {
    tell("note", {
      code: "drawn-before",
      cause: `All inputs${nameIn(parts, shotId)} were drawn${since}, but something they depend on has changed since.`,
      remedy: "Draw them again.",
    });
  }
  return jobs.take(job);
}

/** Takes an offered result into the document, as one step of undo, or discards it. */
export async function settleOffer(
  parts: WaitingParts,
  offered: WaitingResult,
  what: "take" | "discard",
): Promise<void> {
  const { store, jobs } = parts;
  store.set({ ...store.get(), waiting: store.get().waiting.filter((one) => one !== offered) });
  if (what === "take") {
    if (offered.kind === "follow") setFollowed(parts, offered.shotId, offered.points);
    else setTuned(parts, offered.request, offered.value);
  }
  await jobs.take(offered.job);
}

function offer(store: Store<AppState>, result: WaitingResult): void {
  store.set({ ...store.get(), waiting: [...store.get().waiting, result] });
}

function keyOf(about: JobAbout): string {
  switch (about.kind) {
    case "follow":
      return followKey(about.shotId, ...about.ways.map(({ pointId }) => pointId));
    case "tune":
      return TUNE_KEY;
    case "draw":
      return drawKey(about.shotId);
    case "write-up":
      return WRITE_UP_KEY;
  }
}

/** " of Shot 2", where there is more than one shot it could be of. */
function nameIn({ store }: WaitingParts, shotId: string): string {
  const { shots } = sessionOf(store.get());
  const name = shots.find(({ id }) => id === shotId)?.name;
  return name === undefined || shots.length < 2 ? "" : ` of ${name}`;
}

/** "140 marks, frames 12 to 151" */
function marksSay(marks: readonly { readonly frame: number }[]): string {
  const frames = marks.map(({ frame }) => frame);
  if (frames.length === 0) return "no mark";
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  return frames.length === 1
    ? `one mark, in frame ${first}`
    : `${frames.length} marks, frames ${first} to ${last}`;
}

/** ", at 14:32" or ", at 14:32 on 27 November", by the clock of this machine. */
function timeOf({ endedAt }: JobReply): string {
  if (endedAt === null) return "";
  const ended = new Date(endedAt);
  const time = ended.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const isToday = ended.toDateString() === new Date().toDateString();
  return isToday
    ? `, at ${time}`
    : `, at ${time} on ${ended.toLocaleDateString("en-GB", { day: "numeric", month: "long" })}`;
}

/**
 * Resolves once the newest state of the document is measured: a drawn result put down
 * earlier would be replaced.
 */
function untilMeasured(store: Store<AppState>): Promise<void> {
  return new Promise((resolve) => {
    const look = () => {
      const { measuring, known } = store.get();
      const looking = Object.values(known).some(({ status }) => status === "inspecting");
      if (measuring !== "settled" || looking) return;
      end();
      resolve();
    };
    const end = store.subscribe(look);
    look();
  });
}
