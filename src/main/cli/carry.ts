import { clockSays } from "../../shared/carry/carried-clock.ts";
import { settingSays } from "../../shared/carry/carried-setting.ts";
import { cameraSays, doubtSays, otherSetUpSays } from "../../shared/carry/carry-words.ts";
import { mayTake } from "../../shared/carry/find-pick.ts";
import type { FoundSetUp } from "../../shared/carry/find-set-up.ts";
import { hasSetUp, isBare, likelyModels, type ShotPick, shotPicks } from "../../shared/carry/sought-picks.ts";
import { type Taking, takenGroups, takeOverEdits } from "../../shared/carry/take-over.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { applyEdit, type Edit } from "../../shared/session/edits.ts";
import { freshShot, unusedId } from "../../shared/session/fresh.ts";
import { type NotedClip, notedClip } from "../../shared/session/noted-clips.ts";
import { sameJson } from "../../shared/session/patch.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import type { Media } from "../media/media.ts";
import { createFactsCache, type FactsOf } from "../service/facts-cache.ts";
import { findNotedClip } from "../service/find-noted-clip.ts";
import { setUpInClip } from "../service/set-up-in-clip.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { wrapped } from "./table.ts";
import { UsageError, type Verb, type VerbCall } from "./verb.ts";

export const carryVerb: Verb = {
  name: "carry",
  usage: "FOLDER (--clip FILE | --all) [--as ID] [--accept PICK,...] [--save]",
  summary: "Makes a shot of a clip with the set-up of a former shot, found again in its pictures.",
  details: [
    "--clip FILE    the clip in the folder; a shot of it that nothing was said of yet is set up, or else one is made",
    "--all          every clip that has no set-up yet, one after the other; one that is refused is named and left",
    "--as ID        the shot whose set-up is taken; by default one that was set up by hand",
    "--accept PICK  takes picks that are not sure all the same, by the names they are listed with",
    "--save         puts the shot into the session with what is sure; then type its pressure, and follow its points",
    "A clip of another place or zoom is refused, with the reason.",
  ],
  operands: [1, 1],
  options: {
    clip: { type: "string" },
    all: { type: "boolean" },
    as: { type: "string" },
    accept: { type: "string" },
    save: { type: "boolean" },
  },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const all = options.all === true;
    if (all === (typeof options.clip === "string"))
      throw new UsageError(`"carry" needs --clip, the clip of the new shot, or --all for every new clip.`);
    if (all && options.accept !== undefined)
      throw new UsageError("--accept names picks of one clip: give it with --clip.");
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    if (options.save === true) await folder.mustBeWritable(); // said before the work
    const clips = all ? await clipsWithoutSetUp(folder, session) : [String(options.clip)];
    const { cacheDir } = personDirs();
    const beside = new AbortController();
    const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir, signal: beside.signal });
    const parts = { media, factsOf: createFactsCache(media, cacheDir), folder };
    let now = session;
    const told: unknown[] = [];
    let refused = 0;
    try {
      for (const clip of clips) {
        try {
          const carried = await carryTo(call, parts, now, clip);
          now = carried.edits.reduce(applyEdit, now);
          told.push(carried.told);
          if (!json) terminal.out(carried.text);
        } catch (error) {
          if (!all || !(error instanceof FaultError)) throw error;
          refused++;
          told.push({ clip, refused: error.fault });
          if (!json) terminal.out(`${clip}\n${wrapped(`${error.fault.cause} ${error.fault.remedy}`, "  ")}`);
        }
      }
    } finally {
      beside.abort();
    }
    if (json) terminal.out(`${JSON.stringify(all ? told : told[0], null, 2)}\n`);
    else if (clips.length === 0) terminal.out("Every clip of the folder has a set-up.\n");
    return refused > 0 ? 1 : 0;
  },
};

interface Carried {
  readonly edits: readonly Edit[];
  /** As JSON tells it, and as text. */
  readonly told: object;
  readonly text: string;
}

interface CarryParts {
  readonly media: Media;
  readonly factsOf: FactsOf;
  readonly folder: FieldFolder;
}

/** Clips that no shot is of, or only one that nothing was said of yet, as the folder lists them. */
async function clipsWithoutSetUp(folder: FieldFolder, session: Session): Promise<readonly string[]> {
  const usable = (await folder.listClips()).filter(({ fault }) => fault == null);
  return usable
    .map(({ name }) => name)
    .filter((clip) => session.shots.every((shot) => shot.clip !== clip || isBare(shot)));
}

/** Looks for a former shot's set-up on a clip, and saves the shot made of it where that is asked. */
async function carryTo(
  { options, terminal, onProgress }: VerbCall,
  { media, factsOf, folder }: CarryParts,
  session: Session,
  clipName: string,
): Promise<Carried> {
  const clip = await folder.findClip(clipName);
  const shot = shotOfClip(session, clip.name);
  const former = formerOf(session, shot, options.as);
  const work = { signal: terminal.signal, onProgress };
  const found = await findNotedClip(session, folder, former.clip ?? "", factsOf.fingerprints, work);
  const known = async (one: typeof clip) => ({ path: one.path, facts: await factsOf(one, work) });
  const from = { shot: former, clip: await known(found) };
  const to = await known(clip);
  const { outcome, rates } = await setUpInClip(media, processWorkers(), session, from, to, work);
  if (!outcome.ok) {
    const { code, cause, remedy } = otherSetUpSays(outcome, clip.name, former.name);
    throw new FaultError(code, cause, remedy);
  }
  const picks = shotPicks(session, former);
  const accepted = acceptedOf(picks, outcome.value, options.accept);
  const taking = { found: outcome.value, accepted, rates };
  const saved = options.save === true;
  const fingerprint = await factsOf.fingerprints.of(clip, work);
  const noted = { name: clip.name, bytes: clip.bytes, fingerprint };
  const editsOn = (now: Session) => newShotEdits(now, { shot, former, picks }, taking, noted);
  if (saved) await saveEdits(folder, editsOn);
  const ids = { shotId: shot.id, asShotId: former.id };
  return {
    edits: editsOn(session),
    told: { ...ids, saved, rates, taken: [...takenGroups(picks, taking)], ...outcome.value },
    text: says(session, outcome.value, picks, former, taking, shot, saved),
  };
}

/** What adds the shot with all that is taken over, on the session as it is now. */
function newShotEdits(
  session: Session,
  {
    shot,
    former,
    picks,
  }: { readonly shot: Shot; readonly former: Shot; readonly picks: readonly ShotPick[] },
  taking: Taking,
  noted: NotedClip,
): readonly Edit[] {
  const now = session.shots.find(({ id }) => id === former.id);
  const isAsSeen = now !== undefined && sameJson(shotPicks(session, now), picks);
  const there = session.shots.find(({ id }) => id === shot.id);
  if (!isAsSeen || (there !== undefined && !(there.clip === shot.clip && isBare(there)))) {
    throw new FaultError(
      "session-changed",
      "The shots of the session were changed while the clip was looked at.",
      "Run it again.",
    );
  }
  const add = there === undefined ? [{ kind: "add-shot", shot } as const] : [];
  const edits = takeOverEdits(add.reduce(applyEdit, session), shot.id, former.id, taking);
  const note = notedClip(session, noted.name) === null ? [{ kind: "note-clip", clip: noted } as const] : [];
  return [...add, ...edits, ...note];
}

/** The clip's shot that nothing was said of yet, or a new one. */
function shotOfClip(session: Session, clip: string): Shot {
  const those = session.shots.filter((shot) => shot.clip === clip);
  const bare = those.find(isBare);
  if (bare !== undefined) return bare;
  const [set] = those;
  if (set === undefined) {
    const id = unusedId("shot", session.shots);
    return freshShot(id, id.replace("shot-", "Shot "), clip, session.shots[0]);
  }
  throw new FaultError(
    "has-set-up",
    `${clip} is the clip of ${set.name} (${set.id}), which has a set-up already.`,
    "Change it in the window, or take that shot out first.",
  );
}

function says(
  session: Session,
  found: FoundSetUp,
  picks: readonly ShotPick[],
  asShot: Shot,
  taking: Taking,
  { id, name }: Shot,
  saved: boolean,
): string {
  const { name: former, clock } = asShot;
  const turned = settingSays(session, asShot, found.camera);
  const doubts = found.picks.flatMap((pick) => {
    const { says: what = pick.id } = picks.find((one) => one.id === pick.id) ?? {};
    if (pick.doubt === null || taking.accepted.has(pick.id)) return [];
    return [wrapped(`Not sure: ${what} (${pick.id}): ${doubtSays(pick, pick.doubt, former)}.`, "  ")];
  });
  const groups = takenGroups(picks, taking);
  const taken = picks.filter(({ group }) => groups.has(group)).map(({ says: what }) => what);
  return [
    `${name}, as in ${former}\n`,
    wrapped(cameraSays(found.camera, former), "  "),
    ...(turned === "" ? [] : [wrapped(turned, "  ")]),
    wrapped(
      `Found again in frame ${found.frame}: ${taken.length === 0 ? "nothing" : taken.join(", ")}.`,
      "  ",
    ),
    ...doubts,
    wrapped(clockSays(clock, taking.rates, former), "  "),
    saved
      ? `It is in the session as ${id}. Type its pressure, and follow its points: loftmark follow FOLDER --shot ${id} --point ID --save\n`
      : "Nothing was written; --save puts the shot into the session.\n",
  ].join("");
}

function formerOf(session: Session, shot: Shot, given: string | boolean | undefined): Shot {
  const whole = session.shots.filter(hasSetUp);
  const names = whole.map(({ id }) => id).join(", ");
  const remedy =
    whole.length === 0 ? "Set one shot up first: scale, clock and marks." : `Those are ${names}.`;
  if (given === undefined) {
    const shots = session.shots.includes(shot) ? session.shots : [...session.shots, shot];
    const [likeliest] = likelyModels({ shots }, shot);
    if (likeliest !== undefined) return likeliest;
    throw new FaultError("no-set-up", "No other shot of the session has a scale, a clock and marks.", remedy);
  }
  const found = session.shots.find(({ id }) => id === given);
  if (found === undefined)
    throw new FaultError("unknown-shot", `The session has no shot "${given}".`, remedy);
  if (found.clip !== null && hasSetUp(found)) return found;
  throw new FaultError("no-set-up", `${found.name} has no scale, clock and marks to take over.`, remedy);
}

function acceptedOf(
  picks: readonly ShotPick[],
  found: FoundSetUp,
  given: string | boolean | undefined,
): ReadonlySet<string> {
  const names = typeof given === "string" ? given.split(",").filter((name) => name !== "") : [];
  const wrong = names.find((name) => !picks.some(({ id }) => id === name));
  if (wrong !== undefined) {
    throw new UsageError(
      `--accept does not know "${wrong}"; it takes ${picks.map(({ id }) => id).join(", ")}.`,
    );
  }
  const nowhere = found.picks.find((pick) => names.includes(pick.id) && !mayTake(pick));
  if (nowhere === undefined) return new Set(names);
  throw new FaultError(
    "no-place",
    `--accept cannot take "${nowhere.id}": nothing says where it is on this clip.`,
    "Leave it out, and place it by hand in the window.",
  );
}
