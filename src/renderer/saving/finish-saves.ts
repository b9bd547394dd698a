import type { Fault } from "../../shared/quantity/notice.ts";
import type { SaveState } from "./autosave.ts";

/** What a page needs to bring its saves to an end. */
export interface Saving {
  /** Takes what is typed and not yet entered into the document. */
  readonly enterTyped: () => void;
  readonly saveNow: () => Promise<void>;
  readonly save: () => SaveState;
}

const MOST_SAVES = 10; // edits made meanwhile are saved too, but nobody edits that fast for long

/** Saves what is not saved yet before the window goes on. @returns null when all is saved, else why not */
export async function finishSaves({ enterTyped, saveNow, save }: Saving): Promise<Fault | null> {
  enterTyped();
  for (let i = 0; i < MOST_SAVES; i++) {
    await saveNow();
    const now = save();
    if (now.status === "saved") return null;
    if (now.status === "failed" || now.status === "conflict") return now.fault;
  }
  return {
    code: "still-changing",
    cause: "The document is still being changed.",
    remedy: "Wait until the window says that it is saved.",
  };
}
