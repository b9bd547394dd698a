import { createHash } from "node:crypto";
import { rename } from "node:fs/promises";
import { join } from "node:path";
import type { FaultCode } from "../../shared/quantity/fault-codes.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { JournalStep } from "../../shared/session/journal.ts";
import { patchBetween } from "../../shared/session/patch.ts";
import type { Session } from "../../shared/session/schema.ts";
import { mustBeReplaceable, prepareFile } from "./atomic-write.ts";
import { diskFault } from "./disk-fault.ts";
import type { FieldFolder } from "./field-folder.ts";
import { withFolderLock } from "./folder-lock.ts";
import {
  appendLines,
  beginSegment,
  FILE_BEHIND,
  type JournalLine,
  listSegments,
  type SegmentEnd,
  segmentSize,
} from "./journal-file.ts";
import { statOrNull } from "./missing-file.ts";
import { linesFrom, stepThat, validAfter } from "./saved-steps.ts";
import { movedOn, sessionChanged } from "./session-conflict.ts";
import { loadState, SESSION_FILE, type SessionState, stampOf } from "./session-state.ts";
import { hashed, sessionPieces } from "./session-text.ts";

export { SESSION_FILE };

const FULL_BYTES = 2e6; // of steps in a segment, and no fewer than its document has
// writings of the document's file that another program made useless; the next one locks it out
const MOST_IN_VAIN = 2;
// while steps keep coming, writing the document's file takes a tenth of the time at most
const PAUSE_FACTOR = 10;

export interface StoredSession {
  readonly session: Session;
  /** Changes with every step; "none" when there is no file. */
  readonly revision: string;
  readonly existed: boolean;
  /** Id of the history's last state, when another program changed the file since; else null. */
  readonly before: string | null;
}

/**
 * The session document of one field folder. A save appends steps to the journal and is safe then, at a cost
 * that does not grow with the document; the document's own file, `loftmark.json`, follows a moment later.
 * Whoever reads through here sees the last step, also after a crash in between.
 */
export interface SessionFile {
  /**
   * Reads the session; without one gives a fresh session and writes nothing.
   * @throws FaultError "broken-session" for a file that is not JSON, the faults of
   *   openSession, "outside-folder"
   */
  read(): Promise<StoredSession>;
  /**
   * Saves steps when the session is still the one that `baseRevision` names. The first of them may be the
   * session's last already (their acknowledgement was lost): they are not made twice.
   * @returns the new revision
   * @throws FaultError "session-changed" when the session is another one by now; "bad-steps" when they do not
   *   fit it or lead to no valid document; disk faults. The session is then untouched.
   */
  saveSteps(steps: readonly JournalStep[], baseRevision: string): Promise<string>;
  /**
   * The session after steps that may be saved or not: those that are there already are not
   * made twice. Saves nothing.
   * @throws FaultError "session-moved-on" when the session is another one by now; "bad-steps"
   */
  after(steps: readonly JournalStep[], baseRevision: string): Promise<Session>;
  /**
   * Saves a whole document as one step; saving what is already there changes nothing. Otherwise as saveSteps.
   */
  save(session: Session, baseRevision: string, says?: string): Promise<string>;
  /**
   * Puts a document in place of a file that cannot be opened, which is kept under another name.
   * @returns that name
   */
  replaceBroken(session: Session): Promise<string>;
  /**
   * Resolves when the document's file holds the last step. @throws FaultError when it could not be written
   */
  settled(): Promise<void>;
}

/** @param prepare writes a file beside the one it is to replace, as prepareFile does */
export function createSessionFile(folder: FieldFolder, prepare = prepareFile): SessionFile {
  const path = join(folder.path, SESSION_FILE);
  let known: SessionState | null = null;
  let following: Promise<void> | null = null;
  let waiting = 0; // for the file to hold the last step: it is then written without a pause
  let endPause = () => {};
  let fileFault: unknown = null;
  // under way: who reads after one was asked for, reads what it leaves
  const saves = new Set<Promise<unknown>>();
  // from the disk: between two of them every state follows from the one before by steps made here
  let loads = 0;

  async function current(): Promise<SessionState> {
    await folder.mustBeThere();
    if (known !== null && (await isCurrent(known))) return known;
    known = null; // what cannot be read must not leave an older state behind
    loads++;
    known = await loadState(folder);
    return known;
  }

  /** What a save builds on could be read once, so a file that cannot be read now is another one. */
  function currentToSave(): Promise<SessionState> {
    return current().catch((error: unknown) => {
      throw isOfContent(error) ? sessionChanged() : error;
    });
  }

  async function isCurrent({ fileStamp, segment }: SessionState): Promise<boolean> {
    if (fileStamp !== (await stampOf(path))) return false;
    const last = (await listSegments(folder.path)).at(-1);
    if (last !== segment?.name) return false;
    return segment === null || segment.bytes === (await segmentSize(folder.path, segment.name));
  }

  async function append(steps: readonly JournalStep[], baseRevision: string): Promise<string> {
    await folder.mustBeThere();
    await mustBeReplaceable(path);
    let state = await currentToSave();
    // said again while it lasts
    if (fileFault !== null && state.begin === null) state = await writeFile(state);
    const lines = linesFrom(state, steps, baseRevision);
    if (lines === null) throw sessionChanged();
    const revision = lines.at(-1)?.revision ?? state.revision;
    if (lines.length === 0) return revision;
    const session = validAfter(
      state.session,
      lines.map(({ step }) => step),
    );
    const segment = await written(state, lines);
    known = { ...state, session, revision, segment, begin: null, before: null, fileIsLast: false };
    // A session that exists has a file; were the file to follow later, a crash would
    // look like a file taken away.
    if (state.file === null) await writeFile(known);
    return revision;
  }

  /** Appends lines to the segment, or begins one with them when it is time to. */
  async function written(state: SessionState, lines: readonly JournalLine[]): Promise<SegmentEnd> {
    const { segment, begin } = state;
    const stepBytes = segment === null ? 0 : segment.bytes - segment.headBytes;
    if (segment !== null && begin === null && stepBytes <= Math.max(FULL_BYTES, segment.headBytes)) {
      return {
        ...segment,
        bytes: await appendLines(folder.path, segment.name, segment.bytes, lines),
      };
    }
    const { revision, file, session } = state;
    const why = begin ?? "full";
    const at = new Date().toISOString();
    return beginSegment(folder.path, { why, at, revision, file, session: { ...session } }, lines);
  }

  /** Writes the document's file, whole, before anybody else may save. */
  async function writeFile(state: SessionState): Promise<SessionState> {
    const written = await prepared(state);
    return written.putInPlace(state);
  }

  /** The document's file as it lies beside the old one, and how it comes into its place. */
  async function prepared(of: SessionState) {
    await folder.mustBeThere();
    const hash = createHash("sha256");
    const whole = await said(() => prepare(path, hashed(sessionPieces(of.session), hash)));
    const file = hash.digest("hex");
    return {
      revision: of.revision,
      discard: whole.discard,
      /**
       * The journal notes first what the file will hold, so that a crash at any moment leaves a file it
       * knows. A file that another program changed since it was looked at is left as it is: noting takes a
       * flush of the disk, time enough for that.
       */
      async putInPlace(now: SessionState): Promise<SessionState> {
        const { segment } = now;
        if (segment === null) throw new RangeError("putInPlace: the session has no journal yet");
        const isLast = now.revision === of.revision;
        const notes = isLast ? [{ file }] : [{ file }, { file: FILE_BEHIND }];
        return said(async () => {
          const bytes = await appendLines(folder.path, segment.name, segment.bytes, notes);
          known = { ...now, segment: { ...segment, bytes } };
          if ((await stampOf(path)) !== now.fileStamp) {
            await whole.discard();
            return current();
          }
          // Taken before the rename, which keeps it: after it the file may already be another program's.
          const fileStamp = await stampOf(whole.path);
          await whole.commit();
          known = { ...known, file, fileStamp, fileIsLast: isLast };
          fileFault = null;
          return known;
        });
      },
    };
  }

  /** Remembers why the document's file could not be written, in words: the next save says it. */
  async function said<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (error) {
      fileFault = diskFault(error, `${SESSION_FILE} could not be saved`);
      throw fileFault;
    }
  }

  function follow(): Promise<void> {
    following ??= followOn().finally(() => {
      following = null;
    });
    return following;
  }

  async function followOn(): Promise<void> {
    for (let inVain = 0; ; ) {
      const startMs = performance.now();
      const wrote = await followOnce(inVain >= MOST_IN_VAIN);
      if (wrote === "nothing") return;
      inVain = wrote === "in vain" ? inVain + 1 : 0;
      await pause(PAUSE_FACTOR * (performance.now() - startMs));
      if (known?.fileIsLast !== false) return;
    }
  }

  /**
   * Brings the document's file up to the last step, or to one before it: saves go on while it is written, and
   * only for its rename do they wait. What another program did meanwhile makes it be in vain.
   * @param locked lets nobody save while it is written
   */
  async function followOnce(locked: boolean): Promise<"file" | "nothing" | "in vain"> {
    const isBehind = ({ fileIsLast, begin }: SessionState) => !fileIsLast && begin === null;
    const [before, loadsBefore] = [known, loads];
    const ready = locked || before === null || !isBehind(before) ? null : await prepared(before);
    let inPlace = false;
    try {
      return await withFolderLock(folder.path, async () => {
        const now = await current();
        if (!isBehind(now)) return "nothing";
        if (ready === null) await writeFile(now);
        else if (loads !== loadsBefore && now.revision !== ready.revision) return "in vain";
        else {
          inPlace = true;
          await ready.putInPlace(now);
        }
        return "file";
      });
    } finally {
      if (!inPlace) await ready?.discard();
    }
  }

  function pause(ms: number): Promise<void> {
    if (waiting > 0) return Promise.resolve();
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, ms);
      endPause = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  }

  async function saved(run: () => Promise<string>): Promise<string> {
    const save = withFolderLock(folder.path, run);
    saves.add(save);
    try {
      const revision = await save;
      // A failure is kept, and said by the next save.
      if (known?.fileIsLast === false) follow().catch(() => undefined);
      return revision;
    } catch (error) {
      throw diskFault(error, `${SESSION_FILE} could not be saved`);
    } finally {
      saves.delete(save);
    }
  }

  return {
    async read() {
      await Promise.allSettled(saves);
      const { session, revision, file, before } = await current();
      return { session, revision, existed: file !== null, before };
    },
    async after(steps, baseRevision) {
      const state = await current();
      const lines = linesFrom(state, steps, baseRevision);
      if (lines === null) throw movedOn();
      return validAfter(
        state.session,
        lines.map(({ step }) => step),
      );
    },
    saveSteps: (steps, baseRevision) => saved(() => append(steps, baseRevision)),
    save: (session, baseRevision, says = "Saved") =>
      saved(async () => {
        const state = await currentToSave();
        if (state.revision !== baseRevision) throw sessionChanged();
        const patch = patchBetween(state.session, session);
        if (patch.length === 0 && state.file !== null) return baseRevision;
        return append([stepThat(says, patch)], baseRevision);
      }),
    async replaceBroken(session) {
      return withFolderLock(folder.path, async () => {
        const kept = await freeName(folder.path);
        await rename(path, join(folder.path, kept));
        const state = await loadState(folder);
        loads++;
        known = { ...state, begin: "recovered" };
        const patch = patchBetween(state.session, session);
        await append(
          [stepThat("Put a state of the history in place of a file that could not be read", patch)],
          state.revision,
        );
        return kept;
      });
    },
    async settled() {
      waiting++;
      endPause();
      try {
        while (known?.fileIsLast === false && known.begin === null) await follow();
        await following;
      } finally {
        waiting--;
      }
    },
  };
}

/** Whether a fault is about what the file says, not about reaching it. */
function isOfContent(error: unknown): boolean {
  const codes: readonly FaultCode[] = ["broken-session", "not-a-session", "newer-session", "bad-session"];
  return error instanceof FaultError && codes.includes(error.fault.code);
}

async function freeName(folder: string): Promise<string> {
  for (let n = 1; ; n++) {
    const name = `loftmark.broken-${n}.json`;
    if ((await statOrNull(join(folder, name))) === null) return name;
  }
}
