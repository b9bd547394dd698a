import type { Fault } from "../../shared/quantity/notice.ts";

/**
 * How the page's last saves ended: all saved; left, though something is not saved; or the
 * person would rather stay.
 */
export type Finish = "saved" | "left" | "stay";

export interface FinishPageParts {
  /** Asks the page to finish its saves; false when there is no page that could. */
  readonly ask: (question: number) => boolean;
  /**
   * Asks the person whether to wait for what is not saved. `fault` says why it is not;
   * null when the page is late.
   */
  readonly waitOrLeave: (fault: Fault | null) => Promise<"wait" | "leave">;
  readonly later: (run: () => void, ms: number) => () => void;
}

export interface FinishPage {
  /** Has the page finish its saves before it goes on. Asked again meanwhile, it is the same question. */
  finish(): Promise<Finish>;
  /** The page's answer to a question: null when all is saved, else why not. */
  answered(question: number, fault: Fault | null): void;
}

/** ms a save may take before the person is asked; on a slow card a large document takes seconds. */
export const PATIENCE_MS = 5000;

/**
 * Waits for the page's last save before its window goes on, and asks the person when
 * that takes long or fails.
 */
export function createFinishPage({ ask, waitOrLeave, later }: FinishPageParts): FinishPage {
  let question = 0;
  let answer: (fault: Fault | null) => void = () => {};
  let finishing: Promise<Finish> | null = null;

  async function finishNow(): Promise<Finish> {
    question++;
    let told: { readonly fault: Fault | null } | null = null;
    const answering = new Promise<void>((resolve) => {
      answer = (fault) => {
        told ??= { fault };
        resolve();
      };
    });
    const outcome = () => told;
    if (!ask(question)) return "saved";
    for (;;) {
      let inTime: () => void = () => {};
      await Promise.race([
        answering,
        new Promise<void>((resolve) => {
          inTime = later(resolve, PATIENCE_MS);
        }),
      ]);
      inTime();
      const asked = outcome();
      if (asked?.fault === null) return "saved";
      const wish = await waitOrLeave(asked?.fault ?? null);
      // The answer may have come while the person was asked: then there is nothing left to choose.
      if (outcome()?.fault === null) return "saved";
      if (wish === "leave") return "left";
      if (asked !== null) return "stay";
    }
  }

  return {
    finish() {
      finishing ??= finishNow().finally(() => {
        finishing = null;
      });
      return finishing;
    },
    answered(of, fault) {
      if (of === question) answer(fault);
    },
  };
}
