import type { ClipEntry } from "../../shared/api/contract.ts";
import { type Fault, FaultError } from "../../shared/quantity/notice.ts";
import { editsToUse } from "../../shared/session/clip-edits.ts";
import type { Edit } from "../../shared/session/edits.ts";
import { isUsed, type NotedClip, notedClip } from "../../shared/session/noted-clips.ts";
import { type AppState, sessionOf } from "../app-state/app-state.ts";
import { standingOf } from "../app-state/clip-standing.ts";
import type { Service } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import type { Store } from "../store/store.ts";
import type { Jobs } from "./jobs.ts";

/**
 * Keeps watch over the clips of the folder: whether they are what was marked, and
 * which came, went or changed.
 */
export interface ClipWatch {
  /**
   * A clip was just looked at, whatever the outcome: notes it the first time, reads all of it
   * where that has to be known.
   */
  lookedAt(clip: string): void;
  /**
   * The document was changed: notes clips that a shot uses by now, and looks for those that
   * are not what was marked.
   */
  documentChanged(): void;
  /** Looks at the folder again: new clips, changed ones, those that are gone. */
  lookAtFolder(): Promise<void>;
  /** The person says that the file holds the shot that was marked: its content counts from now on. */
  acceptContent(clip: string): void;
  /** Has the shots of a clip use the file that was found to hold its recording. */
  takeFound(clip: string): void;
}

export interface ClipWatchParts {
  readonly store: Store<AppState>;
  readonly jobs: Jobs;
  readonly service: Pick<Service, "clips">;
  readonly later: (run: () => void, ms: number) => () => void;
  readonly inspect: (clip: string) => Promise<void>;
  /** Measures the shots of a clip again. */
  readonly measure: (clip: string) => void;
  /** Notes a clip for the first time: no step of undo. */
  readonly note: (clip: NotedClip) => void;
  readonly changeAll: (edits: readonly Edit[]) => void;
  readonly onFault: (fault: Fault) => void;
}

/**
 * ms: reading a whole clip waits until the first picture is likely to be there; nothing
 * waits for its fingerprint.
 */
const READ_AFTER_MS = 1500;

export function createClipWatch(parts: ClipWatchParts): ClipWatch {
  const { store, jobs, service, later, inspect, measure, note, changeAll, onFault } = parts;
  const get = store.get;
  const patch = (part: Partial<AppState>) => store.set({ ...get(), ...part });
  /** The file that each clip was last looked at in; null when there was none. */
  const lookedAtIn = new Map<string, string | null>();
  /** Fingerprints of files, also of such as no shot uses. */
  const read = new Map<string, string>();
  const finding = new Set<string>();
  const waiting = new Set<string>();
  let before: readonly ClipEntry[] = [];
  let told: string | null = null;

  function lookedAt(clip: string): void {
    lookedAtIn.set(clip, keyIn(get().clips, clip));
    stand(clip);
  }

  /** Does what the standing of a clip asks for. */
  function stand(clip: string): void {
    const standing = standingOf(get(), clip);
    const knowledge = get().known[clip];
    if (knowledge?.status === "failed" || standing === "other") void find(clip);
    if (knowledge?.status !== "known") return;
    const { facts, fingerprint } = knowledge;
    if (fingerprint === null) {
      if (standing === "first") readLater(clip);
      else void readAll(clip); // nothing is measured before it is known
    } else if (standing === "first" && isUsed(sessionOf(get()), clip)) {
      note({ name: clip, bytes: facts.bytes, fingerprint });
    }
  }

  function readLater(clip: string): void {
    if (waiting.has(clip)) return;
    waiting.add(clip);
    later(() => {
      waiting.delete(clip);
      void readAll(clip);
    }, READ_AFTER_MS);
  }

  /** Reads a clip that a shot uses from end to end. */
  async function readAll(clip: string): Promise<void> {
    const asked = get().known[clip];
    if (asked?.status !== "known" || asked.fingerprint !== null || !isUsed(sessionOf(get()), clip)) return;
    try {
      const fingerprint = await fingerprintOf(clip);
      const now = get().known[clip];
      if (now !== asked) return; // looked at again meanwhile: that reading counts
      const waited = standingOf(get(), clip) === "unread";
      patch({ known: { ...get().known, [clip]: { ...asked, fingerprint } } });
      stand(clip);
      if (waited) measure(clip);
    } catch (error) {
      if (get().known[clip] !== asked) return;
      const unread = standingOf(get(), clip) === "unread";
      if (!unread) return; // nothing waited for it; it is read when the clip is next looked at
      const failed = { status: "failed", fault: faultOf(error), doubtful: true } as const;
      patch({ known: { ...get().known, [clip]: failed } });
      measure(clip);
    }
  }

  async function fingerprintOf(clip: string): Promise<string> {
    const key = keyIn(get().clips, clip);
    const kept = key === null ? undefined : read.get(key);
    if (kept !== undefined) return kept;
    const { fingerprint } = await jobs.run(`fingerprint ${clip}`, { kind: "fingerprint", clip });
    if (fingerprint == null) throw stopped(clip);
    if (key !== null) read.set(key, fingerprint);
    return fingerprint;
  }

  /** Looks for the content that was noted of a clip in the folder's other files of the same length. */
  async function find(clip: string): Promise<void> {
    const noted = notedClip(sessionOf(get()), clip);
    if (noted === null || finding.has(clip)) return;
    finding.add(clip);
    let found: string | null = null;
    const { clips } = get();
    for (const { name, bytes } of clips) {
      if (name === clip || bytes !== noted.bytes) continue;
      // A file that cannot be read is not offered; that it cannot be read is told when a shot uses it.
      const fingerprint = await fingerprintOf(name).catch(() => null);
      if (fingerprint === noted.fingerprint) found ??= name;
    }
    finding.delete(clip);
    if (get().clips !== clips) return find(clip); // others have come meanwhile
    const { [clip]: was, ...others } = get().found;
    if (was !== (found ?? undefined))
      patch({ found: found === null ? others : { ...others, [clip]: found } });
  }

  async function lookAtFolder(): Promise<void> {
    if (get().phase !== "ready") return;
    let clips: readonly ClipEntry[];
    try {
      clips = await service.clips();
      told = null;
    } catch (error) {
      const fault = faultOf(error);
      if (told !== fault.code) onFault(fault); // once, not every few seconds
      told = fault.code;
      return;
    }
    const changed = !sameEntries(get().clips, clips);
    if (changed) patch({ clips });
    for (const clip of usedClips(get())) look(clip, clips, changed);
    before = clips;
  }

  function look(clip: string, clips: readonly ClipEntry[], changed: boolean): void {
    const knowledge = get().known[clip];
    if (knowledge === undefined || knowledge.status === "inspecting") return;
    const key = keyIn(clips, clip);
    if (key === null) {
      if (knowledge.status === "known") {
        patch({ known: { ...get().known, [clip]: { status: "failed", fault: clipGone(clip) } } });
        lookedAtIn.set(clip, null);
        measure(clip);
      }
      if (changed || knowledge.status === "known") void find(clip);
      return;
    }
    // A file that is still being copied grows from look to look: it is read once it rests.
    if (key !== lookedAtIn.get(clip) && key === keyIn(before, clip)) void inspect(clip);
    else if (changed && standingOf(get(), clip) === "other") void find(clip);
  }

  return {
    lookedAt,
    documentChanged() {
      for (const clip of usedClips(get())) {
        const standing = standingOf(get(), clip);
        const unfound = standing === "other" && get().found[clip] === undefined;
        if (standing === "first" || unfound) stand(clip);
      }
    },
    lookAtFolder,
    acceptContent(clip) {
      const knowledge = get().known[clip];
      if (knowledge?.status !== "known" || knowledge.fingerprint === null) return;
      const { facts, fingerprint } = knowledge;
      changeAll([{ kind: "note-clip", clip: { name: clip, bytes: facts.bytes, fingerprint } }]);
    },
    takeFound(clip) {
      const noted = notedClip(sessionOf(get()), clip);
      const name = get().found[clip];
      if (noted === null || name === undefined) return;
      const { [clip]: _taken, ...found } = get().found;
      patch({ found });
      changeAll(editsToUse(sessionOf(get()), clip, { ...noted, name }));
    },
  };
}

function usedClips(state: AppState): ReadonlySet<string> {
  return new Set(sessionOf(state).shots.flatMap(({ clip }) => (clip === null ? [] : [clip])));
}

function keyIn(clips: readonly ClipEntry[], clip: string): string | null {
  const entry = clips.find(({ name }) => name === clip);
  return entry === undefined ? null : `${entry.bytes} ${entry.modifiedMs} ${entry.name}`;
}

function sameEntries(a: readonly ClipEntry[], b: readonly ClipEntry[]): boolean {
  return a.length === b.length && a.every(({ name }) => keyIn(a, name) === keyIn(b, name));
}

function stopped(clip: string): FaultError {
  return new FaultError(
    "not-read",
    `Reading ${clip} was stopped, so it is not known whether it is the clip that was marked.`,
    "Under Clip, look at it again.",
  );
}

function clipGone(clip: string): Fault {
  return {
    code: "clip-gone",
    cause: `${clip} is not in the folder any more.`,
    remedy: "Put it back under this name, or choose under Clip what it is called now.",
  };
}
