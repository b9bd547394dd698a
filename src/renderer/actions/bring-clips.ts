import { isClipName } from "../../shared/api/clip-names.ts";
import type { ClipEntry } from "../../shared/api/contract.ts";
import type { AddedClip } from "../../shared/api/job-contract.ts";
import type { FaultCode } from "../../shared/quantity/fault-codes.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { AppNotice } from "../app-state/app-notice.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import { usableClips } from "../app-state/usable-clips.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import type { Jobs } from "./jobs.ts";

export interface BringClipsParts {
  readonly store: Store<AppState>;
  readonly service: Pick<Service, "pathOf">;
  readonly jobs: Pick<Jobs, "addClip">;
  readonly tell: (level: AppNotice["level"], fault: Fault) => void;
  readonly lookAtFolder: () => Promise<void>;
  /** Puts the present state back in the window where an earlier one is looked at. */
  readonly present: () => void;
  readonly addShot: (clip: ClipEntry) => void;
  readonly addShots: (clips: readonly ClipEntry[]) => void;
  readonly chooseShot: (shotId: string) => void;
}

/** Faults that would meet every further clip as well. */
const OF_ALL: ReadonlySet<FaultCode> = new Set<FaultCode>([
  "folder-gone",
  "folder-not-open",
  "folder-read-only",
  "no-answer",
]);

/**
 * What takes clips that a person drops on the window or chooses: each is brought into the folder, and those
 * without a shot become shots in one step. One clip that has its shot is shown.
 */
export function createBringClips(parts: BringClipsParts) {
  const { store, service, jobs, tell, lookAtFolder, present } = parts;
  const get = store.get;
  let before: Promise<void> = Promise.resolve();

  async function bring(files: readonly File[]): Promise<void> {
    const clips = files.filter(({ name }) => isClipName(name));
    const others = files.filter((file) => !clips.includes(file));
    if (others.length > 0) tell("warning", noClips(others, clips.length > 0));
    const added: AddedClip[] = [];
    for (const [i, file] of clips.entries()) {
      const ofAll = clips.length === 1 ? "" : ` (${i + 1} of ${clips.length})`;
      try {
        const one = await brought(file, ofAll);
        if (one === null) break; // the person stopped it
        added.push(one);
        if (one.name !== file.name) tell("note", renamed(file.name, one.name));
      } catch (error) {
        const fault = faultOf(error);
        tell("warning", fault);
        if (OF_ALL.has(fault.code)) break;
      }
    }
    if (added.length === 0) return;
    await lookAtFolder();
    makeShots(new Set(added.map(({ name }) => name)));
  }

  /** @returns null when it was stopped */
  async function brought(file: File, ofAll: string): Promise<AddedClip | null> {
    // A browser says no paths. The folder's own clip is known by its name, length and time.
    if (service.pathOf(file) === null && get().clips.some((clip) => isSame(clip, file)))
      return { name: file.name, copied: false };
    const { state, added } = await jobs.addClip(`add ${file.name}`, file, ofAll);
    return state === "cancelled" ? null : (added ?? null);
  }

  function makeShots(names: ReadonlySet<string>): void {
    present();
    const { shots } = sessionOf(get());
    const shotOf = (clip: ClipEntry) => shots.find((shot) => shot.clip === clip.name);
    const clips = usableClips(get().clips).filter(({ name }) => names.has(name));
    const fresh = clips.filter((clip) => shotOf(clip) === undefined);
    const [first] = fresh;
    if (first !== undefined) {
      if (fresh.length === 1) parts.addShot(first);
      else parts.addShots(fresh);
      return;
    }
    const shown = clips.map(shotOf).find((shot) => shot !== undefined);
    if (shown === undefined) return;
    parts.chooseShot(shown.id);
    if (clips.length > 1) tell("note", allThere(clips.length, shown.name));
  }

  /** One drop after the other; resolves when this one is done. */
  return (files: readonly File[]): Promise<void> => {
    before = before.then(() => bring(files));
    return before;
  };
}

function isSame(clip: ClipEntry, { name, size, lastModified }: File): boolean {
  return clip.name === name && clip.bytes === size && Math.floor(clip.modifiedMs) === lastModified;
}

function noClips(others: readonly File[], withClips: boolean): Fault {
  const [{ name }] = others as readonly [File];
  const what =
    others.length === 1 ? `${name} is not a clip` : `${name} and ${others.length - 1} more are not clips`;
  return {
    code: "no-clips-dropped",
    cause: `${what}, so ${others.length === 1 ? "it was" : "they were"} left where ${others.length === 1 ? "it is" : "they are"}.`,
    remedy: withClips
      ? "The clips among them are being added."
      : "Drop clips as a camera writes them, such as .mp4, .mov, .avi or .mts, or a folder of them.",
  };
}

function renamed(name: string, given: string): Fault {
  return {
    code: "clip-renamed",
    cause: `The folder already has another clip called ${name}, so the new one is called ${given} there.`,
    remedy: "Nothing was replaced.",
  };
}

function allThere(count: number, shown: string): Fault {
  return {
    code: "shots-there",
    cause: `All ${count} clips have their shots already.`,
    remedy: `${shown} is shown.`,
  };
}
