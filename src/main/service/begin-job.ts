import { clipVersion } from "../../shared/api/client.ts";
import type { JobReply, JobRequest } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { shotRestsOn, tuningRestsOn } from "../../shared/session/rests-on.ts";
import type { Session } from "../../shared/session/schema.ts";
import { OutOfPatience } from "../jobs/worker-thread.ts";
import type { FoundClip } from "../store/field-folder.ts";
import { WRITE_UP_ELSEWHERE } from "../store/write-up-place.ts";
import { drawShot } from "./draw-shot.ts";
import { followInClip } from "./follow-in-clip.ts";
import type { JobParts } from "./job-parts.ts";
import type { JobOutcome } from "./jobs.ts";
import { movementInClip, movementOrder } from "./movement-in-clip.ts";
import { readOuting } from "./read-outing.ts";
import { badRequest } from "./replies.ts";
import { setUpInClip } from "./set-up-in-clip.ts";
import { tuneOnShots } from "./tune-on-shots.ts";
import { writeUpFolder } from "./write-up-folder.ts";

type Asked<K extends JobRequest["kind"]> = Extract<JobRequest, { kind: K }>;

// read in a tenth of a second: what is kept under the content is then there with the inspection
const SOON_READ_BYTES = 32 * 2 ** 20;

/** Starts the job that a window asks for. @throws FaultError when it cannot even be started */
export async function beginJob(parts: JobParts, asked: JobRequest, window: string): Promise<JobReply> {
  const { folder, jobs, factsOf, media } = parts;
  /** With what was seen of the camera before: a shot measured without it would have to be measured twice. */
  const withKeptLooks = async (clip: FoundClip, facts: ClipFacts): Promise<ClipFacts> => {
    const camera = await factsOf.looks?.kept(clip);
    return camera == null ? facts : { ...facts, camera };
  };
  switch (asked.kind) {
    case "inspect": {
      const clip = await folder.findClip(asked.clip);
      return jobs.start({ kind: "inspect", doing: `Inspecting ${clip.name}`, window }, async (job) => {
        const facts = await factsOf(clip, job);
        const { fingerprints } = factsOf;
        // One that cannot be read whole, as while it is copied, is inspected all the same.
        if (clip.bytes <= SOON_READ_BYTES)
          await fingerprints.of(clip, { signal: job.signal }).catch(() => null);
        job.signal.throwIfAborted();
        return { facts: await withKeptLooks(clip, facts), fingerprint: await fingerprints.known(clip) };
      });
    }
    case "fingerprint": {
      const clip = await folder.findClip(asked.clip);
      const start = { kind: "fingerprint", doing: `Reading all of ${clip.name}`, window } as const;
      return jobs.start(start, async (job) => ({ fingerprint: await factsOf.fingerprints.of(clip, job) }));
    }
    case "extract": {
      const clip = await folder.findClip(asked.clip);
      if (asked.to < asked.from) throw badRequest("the last frame comes before the first");
      const start = { kind: "extract", doing: `Taking frames out of ${clip.name}`, window } as const;
      return jobs.start(start, async (job): Promise<JobOutcome> => {
        const facts = await factsOf(clip, { signal: job.signal });
        mustHaveFrame(facts.pts.length, asked.to);
        await media.extract(clip.path, facts, asked.from, asked.to, asked.size, job);
        return {};
      });
    }
    case "differences": {
      const clip = await folder.findClip(asked.clip);
      const doing = `Looking for repeated frames in ${clip.name}`;
      return jobs.start({ kind: "differences", doing, window }, async (job) => {
        const facts = await factsOf(clip, { signal: job.signal });
        return { differences: [...(await media.differences(clip.path, facts, job))] };
      });
    }
    case "look": {
      const clip = await folder.findClip(asked.clip);
      const { from, to } = asked;
      if (to < from) throw badRequest("the last frame comes before the first");
      const doing = `Looking whether the camera of ${clip.name} moved`;
      return jobs.start({ kind: "look", doing, window }, async (job) => {
        const facts = await factsOf(clip, { signal: job.signal });
        mustHaveFrame(facts.pts.length, to);
        return { camera: (await factsOf.looks?.at(clip, facts, { from, to }, job)) ?? null };
      });
    }
    case "propose": {
      const clip = await folder.findClip(asked.clip);
      const doing = `Looking for targets in ${clip.name}`;
      return jobs.start({ kind: "propose", doing, window }, async (job) => {
        const facts = await factsOf(clip, { signal: job.signal });
        return { proposals: (await parts.propose(clip, facts, job)) as JobReply["proposals"] };
      });
    }
    case "steady":
      return beginSteady(parts, asked, window);
    case "carry":
      return beginCarry(parts, asked, window);
    case "follow":
      return beginFollow(parts, asked, window);
    case "tune":
      return beginTune(parts, asked, window);
    case "draw":
      return beginDraw(parts, asked, window);
    case "outing": {
      const { kind, document, path, outingId } = asked;
      const session = await parts.sessionFile.after(document.steps, document.revision);
      return jobs.start({ kind, doing: "Reading the other outing", window }, async (job) => ({
        outing: await readOuting(parts, session, { path, outingId }, job),
      }));
    }
    case "write-up": {
      await folder.mustBeWritable(WRITE_UP_ELSEWHERE); // said before minutes of measuring
      const about = { kind: "write-up" } as const;
      return jobs.start({ kind: "write-up", doing: "Measuring the shots", about, window }, async (job) => ({
        files: [...(await writeUpFolder(parts, job))],
      }));
    }
  }
}

async function beginFollow(parts: JobParts, asked: Asked<"follow">, window: string): Promise<JobReply> {
  const { folder, jobs, factsOf, media, workers } = parts;
  const clip = await folder.findClip(asked.clip);
  const { shotId, ways } = asked;
  const owned = ways.flatMap(({ pointId, point, seed, to }) =>
    pointId === undefined ? [] : [{ pointId, point, seed, to }],
  );
  const about =
    shotId === undefined || owned.length < ways.length
      ? null
      : ({ kind: "follow", shotId, clip: clip.name, clipVersion: clipVersion(clip), ways: owned } as const);
  const names = [...new Set(ways.map(({ point }) => point))];
  const doing = `Following ${names.length === 1 ? `the ${names[0]}` : `${names.length} points`}`;
  const start = { kind: "follow", doing, about, window, keepsWhenStopped: true } as const;
  return jobs.start(start, async (job) => {
    const facts = await factsOf(clip, { signal: job.signal });
    mustHaveFrame(facts.pts.length, Math.max(...ways.flatMap(({ seed, to }) => [seed.frame, to])));
    const followed = await followInClip(media, workers, clip.path, facts, ways, job);
    return { followed: followed as JobReply["followed"] };
  });
}

async function beginSteady(parts: JobParts, asked: Asked<"steady">, window: string): Promise<JobReply> {
  const { folder, jobs, factsOf, media, workers } = parts;
  const clip = await folder.findClip(asked.clip);
  const session = await parts.sessionFile.after(asked.document.steps, asked.document.revision);
  const shot = session.shots.find(({ id }) => id === asked.shotId);
  if (shot === undefined) throw unknownShot(asked.shotId);
  const doing = `Following the background of ${shot.name}`;
  return jobs.start({ kind: "steady", doing, window }, async (job) => {
    const facts = await factsOf(clip, { signal: job.signal });
    const order = movementOrder(session, shot, facts);
    mustHaveFrame(facts.pts.length, order.to);
    return { movement: await movementInClip(media, workers, clip.path, facts, order, job) };
  });
}

async function beginCarry(parts: JobParts, asked: Asked<"carry">, window: string): Promise<JobReply> {
  const { folder, jobs, factsOf, media, workers } = parts;
  const session = await parts.sessionFile.after(asked.document.steps, asked.document.revision);
  nameOf(session, asked.shotId);
  const shot = session.shots.find(({ id }) => id === asked.asShotId);
  if (shot === undefined || shot.clip === null) throw unknownShot(asked.asShotId);
  const [clip, former] = [await folder.findClip(asked.clip), await folder.findClip(shot.clip)];
  const doing = `Looking for the set-up of ${shot.name} in ${clip.name}`;
  return jobs.start({ kind: "carry", doing, window }, async (job) => {
    const work = { signal: job.signal };
    const known = async (one: typeof clip) => ({ path: one.path, facts: await factsOf(one, work) });
    const from = { shot, clip: await known(former) };
    return { setUp: await setUpInClip(media, workers, session, from, await known(clip), job) };
  });
}

async function beginTune(parts: JobParts, asked: Asked<"tune">, window: string): Promise<JobReply> {
  const { kind, document, ...request } = asked;
  const session = await parts.sessionFile.after(document.steps, document.revision);
  const about = { kind, ...request, restsOn: tuningRestsOn(session, request.launcherId, request.shotIds) };
  return parts.jobs.start({ kind, doing: "Reading the shots", about, window }, async (job) => ({
    tuned: await patiently("The tuning", () => tuneOnShots(parts, session, request, job)),
  }));
}

async function beginDraw(parts: JobParts, asked: Asked<"draw">, window: string): Promise<JobReply> {
  const { kind, document, shotId, draws } = asked;
  const session = await parts.sessionFile.after(document.steps, document.revision);
  const name = nameOf(session, shotId);
  const about = { kind, shotId, draws, restsOn: shotRestsOn(session, shotId) };
  return parts.jobs.start({ kind, doing: `Drawing the inputs of ${name}`, about, window }, async (job) => ({
    drawn: await patiently(`The drawing of ${name}'s inputs`, () =>
      drawShot(parts, session, shotId, draws, job),
    ),
  }));
}

/** Words work that never came to an end. */
async function patiently<T>(what: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!(error instanceof OutOfPatience)) throw error;
    throw new FaultError(
      "took-too-long",
      `${what} was stopped after ${Math.round(error.afterMs / 1000)} s without a result.`,
      "Check the value last typed for the launcher and the shots, or undo the last change.",
    );
  }
}

function nameOf({ shots }: Session, shotId: string): string {
  const shot = shots.find(({ id }) => id === shotId);
  if (shot !== undefined) return shot.name;
  throw unknownShot(shotId);
}

function unknownShot(id: string): FaultError {
  return new FaultError("unknown-shot", `The session has no shot "${id}".`, "Choose one of its shots.");
}

/** @throws FaultError "no-such-frame" */
export function mustHaveFrame(count: number, index: number): void {
  if (index < count) return;
  throw new FaultError(
    "no-such-frame",
    `The clip has no frame ${index}; its ${count} frames count from 0 to ${count - 1}.`,
    "Ask for a frame that the clip has.",
  );
}
