import { makeWriteUp } from "../../src/main/write-up/make-write-up.ts";
import { measureShot } from "../../src/shared/measure/measure-shot.ts";
import { type PushTrack, pushTrack } from "../../src/shared/measure/push-track.ts";
import { askOf, nextShot } from "../../src/shared/next-shot/next-shot.ts";
import { shotSpeeds } from "../../src/shared/next-shot/repeats.ts";
import type { ShotResult } from "../../src/shared/results/shot-result.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import { filmedShot } from "../../src/shared/session/filmed-shot.ts";
import { openSession } from "../../src/shared/session/open-session.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { launcherOf } from "../../src/shared/session/what-took-part.ts";
import { tunableIn, tunableParameters } from "../../src/shared/tune/tunable-parameters.ts";
import { tuneSession } from "../../src/shared/tune/tune-session.ts";
import { firstOf } from "../support/one-of-each.ts";

/** What is asked of a session: each is one thing that a person waits for. */
export const TRIAL_STEPS = ["open", "measure", "tune", "next-shot", "write-up"] as const;
export type TrialStep = (typeof TRIAL_STEPS)[number];

export interface StepOutcome {
  readonly step: TrialStep;
  /** ms, as the caller's clock counts. */
  readonly ms: number;
  /** What a person never should see: a thrown error, a number that is none, an uncertainty below zero. */
  readonly problem: string | null;
}

export interface TrialOutcome {
  readonly steps: readonly StepOutcome[];
  /** Why the document was not opened; null when it was. */
  readonly refusal: string | null;
  /** Codes of the notices of all shots. */
  readonly codes: readonly string[];
}

/**
 * Puts a document through everything that is made of a session, and says what came out.
 * @param nowMs the clock that steps are timed by
 * @param only the one shot to measure, by its place; all by default
 */
export async function trial(
  document: unknown,
  facts: ClipFacts,
  asked: readonly TrialStep[],
  nowMs: () => number,
  only: number | null = null,
): Promise<TrialOutcome> {
  const steps: StepOutcome[] = [];
  const run = async <T>(step: TrialStep, work: () => T | Promise<T>, look = true): Promise<T | null> => {
    const from = nowMs();
    try {
      const value = await work();
      steps.push({ step, ms: nowMs() - from, problem: look ? badNumber(value, step) : null });
      return value;
    } catch (error) {
      const text =
        error instanceof Error ? `${error.name}: ${error.message}${placeOf(error)}` : String(error);
      steps.push({ step, ms: nowMs() - from, problem: `threw ${text}` });
      return null;
    }
  };
  const opened = await run("open", () => openSession(document), false);
  if (opened === null || !opened.ok) {
    return { steps, refusal: opened === null ? null : opened.fault.cause, codes: [] };
  }
  const { session } = opened;
  const one = only === null ? [] : session.shots.slice(only, only + 1);
  const measured = one.length === 1 ? one : session.shots;
  const results = await run("measure", () => measured.map(({ id }) => measureShot(session, id, facts)));
  if (results === null) return { steps, refusal: null, codes: [] };
  if (asked.includes("tune")) await run("tune", () => tuned(session, facts));
  if (asked.includes("next-shot")) await run("next-shot", () => nextOf(session, results));
  if (asked.includes("write-up")) {
    const named = new Map(
      session.shots.flatMap(({ clip }) => (clip === null ? [] : [[clip, facts] as const])),
    );
    const input = {
      session: { ...session, nextShot: undefined },
      results,
      facts: named,
      madeAt: "2026-01-01",
    };
    const files = await run("write-up", () => makeWriteUp(input as Parameters<typeof makeWriteUp>[0]));
    const bad = files?.find(({ text }) => /\bNaN\b|\bInfinity\b/.test(text));
    if (bad !== undefined) {
      const { step, ms } = steps.pop()!;
      steps.push({ step, ms, problem: `${bad.name} holds a number that is none` });
    }
  }
  return { steps, refusal: null, codes: results.flatMap(({ notices }) => notices.map(({ code }) => code)) };
}

function tuned(session: Session, facts: ClipFacts) {
  const launcherId = session.launchers[0]?.id ?? "";
  const parameters = tunableParameters(tunableIn(session, launcherId)).map(({ path }) => path);
  const tracks = new Map<string, PushTrack>();
  for (const shot of session.shots) {
    const { track } = pushTrack(filmedShot(session, shot), facts);
    if (track !== null) tracks.set(shot.id, track);
  }
  const [first, ...others] = [...tracks.keys()];
  const request = firstOf(session).tuning ?? {
    launcherId,
    parameters: parameters.slice(0, 1),
    shotIds: first === undefined ? [] : [first],
    heldOutShotIds: others,
  };
  return tuneSession(session, request, tracks);
}

function nextOf(session: Session, results: readonly ShotResult[]) {
  const last = session.shots.at(-1);
  return last === undefined
    ? null
    : nextShot(
        session,
        last,
        askOf(session.nextShot, launcherOf(session, last)),
        shotSpeeds(session, last, results),
      );
}

/** The first number that is none, or uncertainty below zero, in a result; null when all are sound. */
function badNumber(value: unknown, where: string): string | null {
  if (typeof value === "number") return Number.isFinite(value) ? null : `${where} is ${value}`;
  if (typeof value !== "object" || value === null) return null;
  if (ArrayBuffer.isView(value)) return badNumber([...(value as Float64Array)], where);
  for (const [key, inside] of Object.entries(value)) {
    // Limits of inputs inside a model may be endless; results never are.
    if (key === "u" && typeof inside === "number" && inside < 0) return `${where}.u is ${inside}`;
    const bad = badNumber(inside, `${where}.${key}`);
    if (bad !== null) return bad;
  }
  return null;
}

function placeOf({ stack }: Error): string {
  const line = /\n\s+at (.*)/.exec(stack ?? "")?.[1] ?? "";
  return line === "" ? "" : ` (${line.replace(/\(?file:.*\/|\(?\/.*\//, "")})`;
}
