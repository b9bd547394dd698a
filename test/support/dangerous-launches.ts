import type { ShotNoticeCode } from "../../src/shared/results/notices/shot-notices.ts";
import type { NextShot, Session, Shot } from "../../src/shared/session/schema.ts";
import { ramSession, ramShot } from "../shared/next-shot/ram-session.ts";

/** A launch that a careful person would stop at, and what every face of the program must say of it. */
export interface DangerousLaunch {
  readonly name: string;
  readonly session: Session;
  readonly shot: Shot;
  readonly ask: NextShot;
  /** Notices of `predict`, of `next-shot` and of the window, in the same words. */
  readonly says: readonly ShotNoticeCode[];
}

const exactly = (value: number) => ({ value, u: 0 });
const within = (value: number, u: number) => ({ value, u });

function ask(
  speedMPerS: number,
  choose: NextShot["choose"],
  leastStallMargin: number | null = null,
): NextShot {
  return { speedMPerS: exactly(speedMPerS), choose, leastStallMargin };
}

function launch(
  name: string,
  session: Session,
  gaugePa: number | null,
  asked: NextShot,
  says: readonly ShotNoticeCode[],
): DangerousLaunch {
  const shot = ramShot(gaugePa === null ? null : within(gaugePa, 500));
  return { name, session: { ...session, shots: [shot], nextShot: asked }, shot, ask: asked, says };
}

const CLOSED_ROD_SIDE = {
  rodDiameterM: exactly(0.016),
  volumeM3: exactly(30e-6),
  vent: { conductance: exactly(3e-8), criticalRatio: exactly(0.35) },
};

export const DANGEROUS_LAUNCHES: readonly DangerousLaunch[] = [
  launch(
    "a tank too small to push to the end",
    ramSession({ tankVolumeM3: exactly(0.3e-3) }),
    4e5,
    ask(7, "pressure"),
    ["leaves-early"],
  ),
  launch(
    "a rod side whose vent is too small",
    ramSession({ rodChamber: CLOSED_ROD_SIDE }),
    4e5,
    ask(11, "pressure"),
    ["leaves-early"],
  ),
];
