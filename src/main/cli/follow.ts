import {
  doubtsSay,
  endSays,
  followedSays,
  marksOf,
  metSays,
  repeatsSay,
} from "../../shared/follow/follow-words.ts";
import type { Followed } from "../../shared/follow/followed.ts";
import { followerMarks, followOrder, handMarksOf } from "../../shared/measure/follow-order.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { filmedShot } from "../../shared/session/filmed-shot.ts";
import { isUsed, type NotedClip, notedClip } from "../../shared/session/noted-clips.ts";
import type { Mark, Point, Session, Shot } from "../../shared/session/schema.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { findNotedClip } from "../service/find-noted-clip.ts";
import { followInClip } from "../service/follow-in-clip.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { wrapped } from "./table.ts";
import { UsageError, type Verb } from "./verb.ts";

export const followVerb: Verb = {
  name: "follow",
  usage: "FOLDER --shot ID --point ID[,ID...] [--from FRAME] [--to FRAME] [--back | --both] [--save]",
  summary: "Follows points from a hand mark each through the frames of their clip.",
  details: [
    "--shot ID      the shot; left out where the session has only one",
    "--point ID     the point, by its id or its name; several with a comma between, all in one pass",
    "--from FRAME   the frame of the hand mark to begin at; by default the first, with --back the last",
    "--to FRAME     the last frame; by default the clip's last, with --back its first",
    "--back         backwards in time",
    "--both         onwards and backwards, from one hand mark",
    "--save         puts the marks into the session; hand marks stay as they are",
    "It ends where a point leaves the picture or is no longer found, and says why.",
  ],
  operands: [1, 1],
  options: {
    shot: { type: "string" },
    point: { type: "string" },
    from: { type: "string" },
    to: { type: "string" },
    back: { type: "boolean" },
    both: { type: "boolean" },
    save: { type: "boolean" },
  },
  async run({ operands, options, json, terminal, onProgress }) {
    const [from, to] = [frameOf("--from", options.from), frameOf("--to", options.to)];
    if (options.point === undefined) throw new UsageError(`"follow" needs --point: the point to follow.`);
    const both = options.both === true;
    if (both && (options.back === true || to !== null)) {
      throw new UsageError("--both goes to both ends of the clip: it takes neither --back nor --to.");
    }
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    if (options.save === true) await folder.mustBeWritable(); // said before the work
    const shot = shotOf(session, options.shot);
    const backs = both ? [false, true] : [options.back === true];
    const begins = pointsOf(session, String(options.point)).flatMap((point) =>
      backs.map((back) => ({ point, back, begin: beginningOf(shot, point, from, back && !both) })),
    );
    const { cacheDir } = personDirs();
    const beside = new AbortController();
    const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir, signal: beside.signal });
    const work = { signal: terminal.signal, onProgress };
    const factsOf = createFactsCache(media, cacheDir);
    const clip = await findNotedClip(session, folder, clipOf(shot), factsOf.fingerprints, work);
    const facts = await factsOf(clip, work);
    const ways = begins
      .map((one) => ({ ...one, to: endOf(one.begin, to, one.back, clip.name, facts.pts.length - 1) }))
      // With both ways a mark in the clip's first or last frame leaves one of them.
      .filter((one) => one.to !== one.begin || !both)
      .map((one) => ({
        ...one,
        order: followOrder(filmedShot(session, shot), one.point.id, one.begin, one.to)!,
      }));
    for (const one of ways) mustLeadOn(one);
    const orders = ways.map(({ order }) => order);
    const all = await followInClip(media, processWorkers(), clip.path, facts, orders, work).finally(() =>
      beside.abort(),
    );
    const outcomes = ways.map((way, i): Outcome => ({ ...way, followed: elementAt(all, i) }));
    const count = outcomes.reduce((sum, one) => sum + marksFrom(shot, one).length, 0);
    const saved = options.save === true && count > 0;
    if (saved) {
      const fingerprint = await factsOf.fingerprints.of(clip, work);
      await save(folder, shot.id, outcomes, { name: clip.name, bytes: clip.bytes, fingerprint });
    }
    if (json) {
      const followed = outcomes.map((one) => ({
        ...{ pointId: one.point.id, from: one.begin, to: one.to },
        ...one.followed,
      }));
      terminal.out(`${JSON.stringify({ shotId: shot.id, saved, followed }, null, 2)}\n`);
    } else {
      for (const one of outcomes) terminal.out(wordsOf(one));
      if (saved) terminal.out("The marks are in the session.\n");
      else if (count > 0) terminal.out("Nothing was written; --save puts the marks into the session.\n");
    }
    const failed = outcomes.filter((one) => marksFrom(shot, one).length === 0 && one.followed.end !== null);
    for (const { followed, point } of json ? failed : []) {
      if (followed.end !== null) terminal.err(`${endSays(followed.end, point.name).cause}\n`);
    }
    return failed.length > 0 ? 1 : 0;
  },
};

/** One point followed one way. */
interface Outcome {
  readonly point: Point;
  readonly back: boolean;
  readonly begin: number;
  readonly to: number;
  readonly followed: Followed;
}

function marksFrom(shot: Shot, { point, followed }: Outcome): readonly Mark[] {
  return followerMarks(shot, point.id, followed);
}

/** The last frame of a way. */
function endOf(begin: number, to: number | null, back: boolean, clip: string, last: number): number {
  const end = to ?? (back ? 0 : last);
  if (end > last || begin > last) throw noSuchFrame(clip, Math.max(begin, end), last);
  return end;
}

function mustLeadOn({ begin, to, back }: Pick<Outcome, "begin" | "to" | "back">): void {
  if (back ? to < begin : to > begin) return;
  throw new UsageError(
    `--to ${to} does not lie ${back ? "before" : "after"} the hand mark in frame ${begin}${back ? "" : "; --back follows backwards"}.`,
  );
}

function wordsOf({ followed, point: { name }, begin, back }: Outcome): string {
  const { end, met } = followed;
  const fault = end === null ? null : endSays(end, name);
  const repeats = repeatsSay(followed);
  const doubtful = marksOf(followed).filter(({ doubts }) => doubts.length > 0);
  return [
    `The ${name}, ${back ? "backwards " : ""}from the hand mark in frame ${begin}\n`,
    wrapped(followedSays(followed), "  "),
    fault === null ? "" : wrapped(`${fault.cause} ${fault.remedy}`, "  "),
    repeats === null ? "" : wrapped(repeats, "  "),
    met.length > SHOWN ? wrapped(manyMet(met), "  ") : met.map((one) => wrapped(metSays(one), "  ")).join(""),
    ...doubtful
      .slice(0, SHOWN)
      .map((mark) => wrapped(`Look at frame ${mark.frame}: ${doubtsSay(mark)}.`, "  ")),
    doubtful.length > SHOWN ? wrapped(`${doubtful.length - SHOWN} more frames are doubtful.`, "  ") : "",
  ].join("");
}

const SHOWN = 8; // lines of one kind; more are not read

function manyMet(met: Followed["met"]): string {
  const worst = met.reduce((a, b) => (b.distanceU > a.distanceU ? b : a));
  const agree = met.filter(({ agrees }) => agrees).length;
  return `${met.length} hand marks were met, ${agree} of them agree; the farthest: ${metSays(worst)}`;
}

function frameOf(option: string, given: string | boolean | undefined): number | null {
  if (given === undefined) return null;
  if (/^\d{1,9}$/.test(String(given))) return Number(given);
  throw new UsageError(`${option} takes the number of a frame, not "${given}".`);
}

function shotOf({ shots }: Session, given: string | boolean | undefined): Shot {
  const found = given === undefined && shots.length === 1 ? shots[0] : shots.find(({ id }) => id === given);
  if (found !== undefined) return found;
  const names = shots.map(({ id }) => id).join(", ");
  if (given === undefined) throw new UsageError(`"follow" needs --shot: one of ${names}.`);
  throw new FaultError("unknown-shot", `The session has no shot "${given}".`, `Its shots are ${names}.`);
}

/** The points of a list, by id or name, each once. */
function pointsOf(session: Session, given: string): readonly Point[] {
  const whole = session.points.some(({ id, name }) => id === given || name === given);
  return [...new Set((whole ? [given] : given.split(",")).map((one) => pointOf(session, one.trim())))];
}

function pointOf({ points }: Session, given: string): Point {
  const found = points.find(({ id }) => id === given) ?? points.find(({ name }) => name === given);
  if (found !== undefined) return found;
  const names = points.map(({ id }) => id).join(", ");
  throw new FaultError(
    "unknown-point",
    `The session has no point "${given}".`,
    points.length === 0 ? "Name a point under Marks and mark it once." : `Its points are ${names}.`,
  );
}

function clipOf({ clip, name }: Shot): string {
  if (clip !== null) return clip;
  throw new FaultError("no-clip", `${name} has no clip.`, "Under Clip, say which clip shows it.");
}

function beginningOf(shot: Shot, { id, name }: Point, from: number | null, back: boolean): number {
  const frames = handMarksOf(shot, id).map(({ frame }) => frame);
  if (frames.length === 0) {
    throw new FaultError(
      "no-hand-mark",
      `The ${name} has no hand mark in ${shot.name} to begin at.`,
      "Mark it by hand in one frame.",
    );
  }
  if (from === null) return back ? Math.max(...frames) : Math.min(...frames);
  if (frames.includes(from)) return from;
  const near = frames.reduce((best, frame) =>
    Math.abs(frame - from) < Math.abs(best - from) ? frame : best,
  );
  throw new FaultError(
    "no-hand-mark",
    `The ${name} has no hand mark in frame ${from} to begin at.`,
    `The nearest is in frame ${near}; or mark it by hand in frame ${from}.`,
  );
}

function noSuchFrame(clip: string, frame: number, last: number): FaultError {
  return new FaultError(
    "no-such-frame",
    `${clip} has no frame ${frame}; its frames count from 0 to ${last}.`,
    "Ask for a frame that the clip has.",
  );
}

/**
 * On the session as it is now: somebody may have marked while the point was followed. What the clip held is
 * noted with the marks, unless it was before.
 */
function save(
  folder: FieldFolder,
  shotId: string,
  outcomes: readonly Outcome[],
  clip: NotedClip,
): Promise<void> {
  return saveEdits(folder, (session) => {
    const shot = session.shots.find(({ id }) => id === shotId);
    const isThere = ({ point }: Outcome) => session.points.some(({ id }) => id === point.id);
    if (shot === undefined || !outcomes.every(isThere)) {
      throw new FaultError(
        "session-changed",
        "The shot or a point was removed from the session while it was followed.",
        "Follow it again.",
      );
    }
    const isNew = isUsed(session, clip.name) && notedClip(session, clip.name) === null;
    return [
      { kind: "set-marks", shotId, marks: outcomes.flatMap((one) => marksFrom(shot, one)) },
      ...(isNew ? [{ kind: "note-clip", clip } as const] : []),
    ];
  });
}
