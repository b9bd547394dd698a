import { revisionAfter } from "../../src/main/store/journal-file.ts";
import { type Client, createClient } from "../../src/shared/api/client.ts";
import type { JobRequest } from "../../src/shared/api/job-contract.ts";
import { handMarksOf } from "../../src/shared/measure/follow-order.ts";
import type { Chance } from "../../src/shared/quantity/chance.ts";
import { done, type History, redone, startHistory, undone } from "../../src/shared/session/history.ts";
import { afterSteps, type JournalStep } from "../../src/shared/session/journal.ts";
import { patchBetween, sameJson } from "../../src/shared/session/patch.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { tunableIn, tunableParameters } from "../../src/shared/tune/tunable-parameters.ts";
import type { ServedHost } from "./crash-host.ts";

const NOWHERE = { shotId: null, frame: null, heading: null } as const;
const MOST_AT_ONCE = 4; // steps in one save
const LAST_FRAME = 200;

/**
 * What a window knows of the folder: the last state that it was told is saved, and what it has sent since.
 */
export class CrashWindow {
  /** Words of every step that was acknowledged, in order. */
  readonly told: string[] = [];
  acked: Session;
  revision: string;
  /** Steps sent and not acknowledged; the request may have reached the folder or not. */
  underWay: readonly JournalStep[] = [];
  private history: History;
  private count = 0;

  constructor(session: Session, revision: string) {
    this.acked = session;
    this.revision = revision;
    this.history = startHistory(session);
  }

  /** Sends saves one after the other, and a job now and then, until the host answers no more. */
  async work(host: ServedHost, chance: Chance): Promise<void> {
    const client = clientOf(host);
    try {
      for (;;) {
        const luck = chance.uniform();
        if (luck < 0.12) {
          const job = await client.startJob(jobOf(this.acked, this.revision, chance));
          if (chance.uniform() < 0.2) await client.cancelJob(job.id);
        } else if (luck < 0.18) await this.saveWhole(client, chance);
        else await this.save(client, this.steps(chance));
      }
    } catch (error) {
      if (!host.ended()) throw error; // nothing but the end of the host may fail a request
    }
  }

  /**
   * Sends what was under way once more, as a page does that has heard no answer; `more` is made since then.
   */
  async sendAgain(host: ServedHost, chance: Chance): Promise<void> {
    const more = chance.uniform() < 0.5 ? this.steps(chance) : [];
    await this.save(clientOf(host), [...this.underWay, ...more]);
  }

  /**
   * Compares the folder with what this window knows. It holds the last acknowledged state, or that and some
   * of the steps under way, in their order.
   * @returns what is wrong; null when nothing is
   */
  compare(session: Session, revision: string): string | null {
    const revisions = [this.revision];
    for (const step of this.underWay) revisions.push(revisionAfter(revisions.at(-1)!, step));
    const landed = revisions.indexOf(revision);
    if (landed < 0) return `the folder is at a revision that no step leads to (${this.told.at(-1)} was told)`;
    const wanted = afterSteps(this.acked, this.underWay.slice(0, landed));
    return sameJson(session, wanted) ? null : `the document is not the one after ${this.told.at(-1)}`;
  }

  /** Goes on from what the folder holds. */
  goOn(session: Session, revision: string): void {
    for (const step of this.underWay) {
      if (this.revision === revision) break;
      this.revision = revisionAfter(this.revision, step);
      this.told.push(step.says);
    }
    this.revision = revision;
    this.acked = session;
    this.underWay = [];
    if (!sameJson(this.history.present, session)) this.history = startHistory(session);
    this.history = { ...this.history, present: session };
  }

  private async save(client: Client, steps: readonly JournalStep[]): Promise<void> {
    this.underWay = steps;
    const { revision } = await client.saveSteps({ steps: [...steps], baseRevision: this.revision });
    this.acknowledge(revision);
  }

  private async saveWhole(client: Client, chance: Chance): Promise<void> {
    const [step] = this.steps(chance, 1);
    const session = afterSteps(this.acked, [step!]);
    // A document that is saved as it is makes no step, and stays at its revision.
    this.underWay = step!.patch.length === 0 ? [] : [{ ...step!, says: "Saved" }];
    const { revision } = await client.saveSession({ session, baseRevision: this.revision });
    if (this.underWay.length === 0 && revision !== this.revision) throw new Error("a step of no change");
    this.acknowledge(revision);
  }

  private acknowledge(revision: string): void {
    this.acked = afterSteps(this.acked, this.underWay);
    this.revision = revision;
    this.told.push(...this.underWay.map(({ says }) => says));
    this.underWay = [];
  }

  private steps(
    chance: Chance,
    count = 1 + Math.floor(MOST_AT_ONCE * chance.uniform()),
  ): readonly JournalStep[] {
    return Array.from({ length: count }, () => {
      const before = this.history.present;
      const luck = chance.uniform();
      const walked = luck < 0.15 ? undone(this.history) : luck < 0.25 ? redone(this.history) : this.history;
      const kind = walked === this.history ? "do" : luck < 0.15 ? "undo" : "redo";
      const words = { says: `Step ${++this.count}`, place: NOWHERE };
      const at = new Date().toISOString();
      this.history =
        kind === "do" ? done(this.history, edited(before, this.count, chance), words, at) : walked;
      return { ...words, kind, at, patch: patchBetween(before, this.history.present) };
    });
  }
}

export function clientOf({ url, id, token }: ServedHost): Client {
  return createClient(
    (path, init) => fetch(path, { ...init, headers: { ...init?.headers, authorization: `Bearer ${token}` } }),
    url,
    id,
    "window",
  );
}

/** Some change; a few are of many marks at once, so that the journal goes on to new segments. */
function edited(session: Session, count: number, chance: Chance): Session {
  const [shot, ...others] = session.shots as [Session["shots"][number]];
  const luck = chance.uniform();
  if (luck < 0.4) return { ...session, title: `Outing ${count}` };
  const place = Math.floor(shot.marks.length * chance.uniform());
  const moved = luck > 0.95 ? () => true : (i: number) => i === place;
  const u = 0.3 + (count % 50) / 100;
  const marks = shot.marks.map((mark, i) => (moved(i) ? { ...mark, u } : mark));
  return { ...session, shots: [{ ...shot, marks }, ...others] };
}

function jobOf(session: Session, revision: string, chance: Chance): JobRequest {
  const [shot] = session.shots as [Session["shots"][number]];
  const clip = shot.clip!;
  const from = Math.floor(LAST_FRAME * chance.uniform());
  switch (Math.floor(6 * chance.uniform())) {
    case 0:
      return { kind: "inspect", clip };
    case 1:
      return { kind: "extract", clip, from, to: from + 12, size: "half" };
    case 2: {
      const pointId = session.points[0]!.id;
      const hands = handMarksOf(shot, pointId);
      const seed = hands[0] ?? { frame: from, at: [300, 300] as const, u: 0.5 };
      const mark = { ...seed, at: [seed.at[0], seed.at[1]] as [number, number] };
      return {
        kind: "follow",
        clip,
        ways: [{ point: "point", seed: mark, hands: [mark], to: LAST_FRAME, exposureShare: null }],
      };
    }
    case 3: {
      const launcherId = session.launchers[0]?.id ?? "";
      const parameters = tunableParameters(tunableIn(session, launcherId))
        .slice(0, 1)
        .map(({ path }) => path);
      const document = { revision, steps: [] };
      return { kind: "tune", document, launcherId, parameters, shotIds: [shot.id], heldOutShotIds: [] };
    }
    default:
      return { kind: "write-up" };
  }
}
