import type { SpeedCard } from "../../../shared/next-shot/card-content.ts";
import { nextShot } from "../../../shared/next-shot/next-shot.ts";
import type { NextShotReport } from "../../../shared/next-shot/next-shot-report.ts";
import type { ShotSpeed } from "../../../shared/next-shot/repeats.ts";
import { speedCard } from "../../../shared/next-shot/speed-card.ts";
import type { NextShot, Session, Shot } from "../../../shared/session/schema.ts";

export interface NextShotRequest {
  readonly key: string;
  readonly session: Session;
  readonly shot: Shot;
  readonly ask: NextShot;
  readonly speeds: readonly ShotSpeed[];
  /** Whether the card for the field is wanted too. */
  readonly card: boolean;
}

export type NextShotReply =
  | {
      readonly ok: true;
      readonly key: string;
      readonly report: NextShotReport;
      readonly card: SpeedCard | null;
    }
  | { readonly ok: false; readonly key: string; readonly message: string };

// The page's own worker scope: the DOM types know only the window's.
const scope = self as unknown as {
  onmessage: ((event: MessageEvent<NextShotRequest>) => void) | null;
  postMessage(reply: NextShotReply): void;
};

scope.onmessage = ({ data: { key, session, shot, ask, speeds, card: wanted } }) => {
  try {
    const card = wanted ? speedCard(session, shot, ask, speeds) : null;
    scope.postMessage({ ok: true, key, report: nextShot(session, shot, ask, speeds), card });
  } catch (error) {
    scope.postMessage({ ok: false, key, message: error instanceof Error ? error.message : String(error) });
  }
};
