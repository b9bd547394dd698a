import { cameraSeen, launchStretch, wantsLook } from "../../shared/measure/camera-look.ts";
import { greatestShiftPx } from "../../shared/measure/steadying.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { isUsed, type NotedClip, notedClip } from "../../shared/session/noted-clips.ts";
import type { Movement, Session, Shot } from "../../shared/session/schema.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createCameraLooks } from "../service/camera-looks.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { findNotedClip } from "../service/find-noted-clip.ts";
import { movementInClip, movementOrder } from "../service/movement-in-clip.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { wrapped } from "./table.ts";
import { UsageError, type Verb, type VerbCall } from "./verb.ts";

/** What came of one shot. */
interface Steadied {
  readonly shotId: string;
  readonly name: string;
  readonly state: "moved" | "still" | "posts" | "no-clip" | "unseen";
  readonly movement: Movement | null;
  readonly clip: NotedClip | null;
}

export const steadyVerb: Verb = {
  name: "steady",
  usage: "FOLDER [--shot ID] [--save]",
  summary: "Sees whether the camera moved, and takes that out by the still background.",
  details: [
    "--shot ID   one shot; by default every shot that has a clip and no marked posts",
    "--save      puts the movement into the session, where it is taken out of every measurement",
    "The frames of the launch are followed, or the whole clip while nothing is marked in it.",
  ],
  operands: [1, 1],
  options: { shot: { type: "string" }, save: { type: "boolean" } },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    if (options.save === true) await folder.mustBeWritable(); // said before the work
    const shots = shotsOf(session, options.shot);
    const steadied = await steadiedShots(session, folder, shots, call);
    const moved = steadied.filter(({ movement }) => movement !== null);
    const saved = options.save === true && moved.length > 0;
    if (saved) await save(folder, moved);
    if (json) {
      const told = steadied.map(({ shotId, state, movement }) => ({ shotId, state, movement }));
      terminal.out(`${JSON.stringify({ saved, shots: told }, null, 2)}\n`);
    } else {
      for (const one of steadied) terminal.out(wrapped(steadiedSays(one), "  "));
      if (saved) terminal.out("The movement is in the session, and measurements take it out.\n");
      else if (moved.length > 0) terminal.out("Nothing was written; --save puts it into the session.\n");
    }
    return 0;
  },
};

async function steadiedShots(
  session: Session,
  folder: FieldFolder,
  shots: readonly Shot[],
  { terminal, onProgress }: VerbCall,
): Promise<readonly Steadied[]> {
  const { cacheDir } = personDirs();
  const beside = new AbortController();
  const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir, signal: beside.signal });
  const workers = processWorkers();
  const looks = createCameraLooks(media, workers, cacheDir);
  const factsOf = createFactsCache(media, cacheDir, looks);
  const work = { signal: terminal.signal, onProgress };
  async function steadied(shot: Shot): Promise<Steadied> {
    const { id: shotId, name } = shot;
    const none = { shotId, name, movement: null, clip: null };
    if (shot.clip === null) return { ...none, state: "no-clip" };
    const { movement: _before, ...unsteadied } = shot;
    if (!wantsLook(session, unsteadied)) return { ...none, state: "posts" };
    const found = await findNotedClip(session, folder, shot.clip, factsOf.fingerprints, work);
    const facts = await factsOf(found, work);
    const stretch = launchStretch(shot, facts.pts.length);
    const camera = await looks.at(found, facts, stretch, work);
    const seen = cameraSeen(shot, { ...facts, camera });
    if (seen === null || seen === "unseen") return { ...none, state: "unseen" };
    if (!seen.moves) return { ...none, state: "still" };
    const order = movementOrder(session, shot, facts);
    const movement = await movementInClip(media, workers, found.path, facts, order, work);
    const fingerprint = await factsOf.fingerprints.of(found, work);
    return { ...none, state: "moved", movement, clip: { name: found.name, bytes: found.bytes, fingerprint } };
  }
  try {
    const all: Steadied[] = [];
    for (const shot of shots) all.push(await steadied(shot));
    return all;
  } finally {
    beside.abort();
  }
}

function steadiedSays({ name, state, movement }: Steadied): string {
  if (movement !== null) {
    const { frames } = movement;
    const middle = frames.map(({ u }) => u[0]).sort((a, b) => a - b)[frames.length >> 1] ?? 0;
    return `${name}: the camera moved by up to ${greatestShiftPx(movement).toFixed(1)} px; followed by the still background in ${frames.length} frames, each good to ±${middle.toFixed(2)} px.`;
  }
  return `${name}: ${SAYS[state]}`;
}

const SAYS: Readonly<Record<Steadied["state"], string>> = {
  moved: "",
  still: "the camera stood still, as far as can be seen; there is nothing to take out.",
  posts: "posts are marked, and take the camera's movement out.",
  "no-clip": "it has no clip.",
  unseen:
    "whether the camera moved cannot be seen: too little in the picture stands still and has detail. Mark posts if it was held in the hand.",
};

function shotsOf({ shots }: Session, given: string | boolean | undefined): readonly Shot[] {
  if (given === undefined) return shots;
  const found = shots.filter(({ id }) => id === given);
  if (found.length > 0) return found;
  const names = shots.map(({ id }) => id).join(", ");
  if (given === "") throw new UsageError(`--shot takes one of ${names}.`);
  throw new FaultError("unknown-shot", `The session has no shot "${given}".`, `Its shots are ${names}.`);
}

/** On the session as it is now. What the clips held is noted with the movement, unless it was before. */
function save(folder: FieldFolder, moved: readonly Steadied[]): Promise<void> {
  return saveEdits(folder, (session) =>
    moved.flatMap(({ shotId, movement, clip }) => {
      if (movement === null || clip === null) return [];
      if (!session.shots.some(({ id }) => id === shotId)) {
        throw new FaultError(
          "session-changed",
          "A shot was removed from the session while its camera was looked at.",
          "Run it again.",
        );
      }
      const isNew = isUsed(session, clip.name) && notedClip(session, clip.name) === null;
      return [
        { kind: "update-shot", shotId, patch: { movement } } as const,
        ...(isNew ? [{ kind: "note-clip", clip } as const] : []),
      ];
    }),
  );
}
