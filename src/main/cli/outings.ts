import { resolve } from "node:path";
import { outingSays, STANDING_SAYS } from "../../shared/outings/outing-words.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Edit } from "../../shared/session/edits.ts";
import { shotCounts } from "../../shared/session/outings.ts";
import type { Outing, Session } from "../../shared/session/schema.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createCameraLooks } from "../service/camera-looks.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { type OutingToRead, outingStanding, readOuting } from "../service/read-outing.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { wrapped } from "./table.ts";
import { tellBug, UsageError, type Verb, type VerbCall } from "./verb.ts";

const KINDS = ["airframe", "launcher", "camera"] as const;

export const outingsVerb: Verb = {
  name: "outings",
  usage:
    "FOLDER [--add OTHER] [--update ID] [--remove ID] [--leave-out A,B] [--take-in A,B] [--id ID] [--airframe THERE=HERE] [--launcher THERE=HERE] [--camera THERE=HERE]",
  summary: "Other field folders whose shots count with these in tuning, charts and repeats.",
  details: [
    "FOLDER alone lists them, and how each stands to the copy of its numbers that the session keeps",
    "--add OTHER        measures the other folder's shots and keeps what is needed of them; nothing is written there",
    "--update ID        reads one again that has changed",
    "--remove ID        leaves it out again",
    "--leave-out A,B    shots that are not to count, as outing-1:shot-3; --take-in counts them again",
    "--id ID            of which outing these are, where there are several:",
    "--launcher THERE=HERE, --airframe, --camera   what there is which of this session; nothing after = for none.",
    "                   Cameras share their errors with today's shots only where it is said, or both are from one shelf.",
  ],
  operands: [1, 1],
  options: {
    add: { type: "string" },
    update: { type: "string" },
    remove: { type: "string" },
    "leave-out": { type: "string" },
    "take-in": { type: "string" },
    id: { type: "string" },
    airframe: { type: "string" },
    launcher: { type: "string" },
    camera: { type: "string" },
  },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const { folder, session } = await openFolderWithSession(terminal.cwd, String(operands[0]));
    const asked = ["add", "update", "remove", "leave-out", "take-in", ...KINDS].filter(
      (name) => options[name] !== undefined,
    );
    if (asked.length > 0) await folder.mustBeWritable();
    if (typeof options.add === "string") {
      await read(call, folder, session, { path: resolve(terminal.cwd, options.add), outingId: null });
    }
    if (typeof options.update === "string") {
      const { path, id } = outingIn(session, options.update);
      await read(call, folder, session, { path, outingId: id });
    }
    if (typeof options.remove === "string") {
      const { id: outingId } = outingIn(session, options.remove);
      await saveEdits(folder, () => [{ kind: "remove-outing", outingId }]);
    }
    for (const counts of [false, true]) {
      const ids = options[counts ? "take-in" : "leave-out"];
      if (typeof ids !== "string") continue;
      await saveEdits(folder, (now) => countingEdits(now, ids.split(","), counts));
    }
    for (const of of KINDS) {
      if (typeof options[of] !== "string") continue;
      const said = String(options[of]);
      await saveEdits(folder, (now) => [{ kind: "set-outing", outing: matched(now, options.id, of, said) }]);
    }
    const after =
      asked.length === 0 ? session : (await openFolderWithSession(terminal.cwd, folder.path)).session;
    const told = await Promise.all(
      (after.outings ?? []).map(async (outing) => ({
        outing,
        standing: await outingStanding(folder.path, outing),
        says: outingSays(outing, after),
      })),
    );
    if (json) {
      const value = told.map(
        ({ outing: { id, path, title, readAt, fingerprint, shots, leftOut }, standing, says }) => ({
          ...{ id, path, title, readAt, fingerprint, standing, says },
          shots: shots.map((shot) => ({
            id: `${id}:${shot.id}`,
            name: shot.name,
            counts: !leftOut.includes(shot.id),
          })),
        }),
      );
      terminal.out(`${JSON.stringify(value, null, 2)}\n`);
    } else if (told.length === 0) terminal.out("The session names no other outing.\n");
    else for (const one of told) terminal.out(outingText(one));
    return 0;
  },
};

async function read(
  { terminal, onProgress }: VerbCall,
  folder: FieldFolder,
  session: Session,
  which: OutingToRead,
): Promise<void> {
  const { cacheDir } = personDirs();
  const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir });
  const workers = processWorkers();
  const parts = {
    folder,
    factsOf: createFactsCache(media, cacheDir, createCameraLooks(media, workers, cacheDir)),
    workers,
    log: (bug: unknown) => tellBug(terminal, bug),
  };
  const outing = await readOuting(parts, session, which, { signal: terminal.signal, onProgress });
  await saveEdits(folder, () => [{ kind: "set-outing", outing }]);
}

function outingIn({ outings = [] }: Session, id: string): Outing {
  const found = outings.find((one) => one.id === id);
  if (found !== undefined) return found;
  const ids = outings.map((one) => one.id).join(", ");
  throw new FaultError(
    "no-such-outing",
    `The session names no outing "${id}".`,
    ids === "" ? "Name one with --add OTHER." : `It names ${ids}.`,
  );
}

/** One edit for each outing that shots are left out of or taken in from. */
function countingEdits(session: Session, ids: readonly string[], counts: boolean): readonly Edit[] {
  const { outings = [] } = session;
  const known = outings.flatMap(({ id, shots }) => shots.map((shot) => `${id}:${shot.id}`));
  const unknown = ids.find((id) => !known.includes(id));
  if (unknown !== undefined) {
    throw new UsageError(`There is no shot "${unknown}" of another outing; there are: ${known.join(", ")}.`);
  }
  return outings.flatMap((outing): Edit[] => {
    const asked = outing.shots.filter(({ id }) => ids.includes(`${outing.id}:${id}`)).map(({ id }) => id);
    const after = asked.reduce((one, id) => shotCounts(one, id, counts), outing);
    return after === outing ? [] : [{ kind: "set-outing", outing: after }];
  });
}

function matched(
  session: Session,
  id: string | boolean | undefined,
  of: (typeof KINDS)[number],
  said: string,
): Outing {
  const { outings = [] } = session;
  if (id === undefined && outings.length !== 1) {
    throw new UsageError("Say of which outing with --id ID.");
  }
  const outing = outingIn(session, typeof id === "string" ? id : (outings[0]?.id ?? ""));
  const [there = "", here = ""] = said.split("=");
  const lists = { airframe: "airframes", launcher: "launchers", camera: "cameras" } as const;
  const list = lists[of];
  const known = (all: readonly { readonly id: string }[], one: string) =>
    all.some((entry) => entry.id === one);
  if (!known(outing[list], there) || (here !== "" && !known(session[list], here))) {
    const ids = (all: readonly { readonly id: string }[]) => all.map((one) => one.id).join(", ");
    throw new UsageError(
      `--${of} takes THERE=HERE, there one of ${ids(outing[list])}, here one of ${ids(session[list])}; not "${said}".`,
    );
  }
  const now = (outing[list] as readonly { readonly id: string }[]).map((one) =>
    one.id === there ? { ...one, here: here === "" ? null : here } : one,
  );
  return { ...outing, [list]: now };
}

function outingText(told: {
  readonly outing: Outing;
  readonly standing: keyof typeof STANDING_SAYS;
  readonly says: readonly string[];
}): string {
  const { outing, standing, says } = told;
  const { id, title, path, readAt, shots } = outing;
  return [
    `${title} (${id})\n`,
    wrapped(`${path}, read ${readAt.slice(0, 10)}: ${STANDING_SAYS[standing]}.`, "  "),
    ...says.map((one) => wrapped(one, "  ")),
    wrapped(`Shots to name: ${shots.map((shot) => `${id}:${shot.id}`).join(", ")}.`, "  "),
  ].join("");
}
