import { partAt } from "../clock/clock-parts.ts";
import { droppedByMotion, droppedByTimestamps, type PathMark } from "../clock/dropped-frames.ts";
import { CLOCK_NOTICES } from "../results/notices/clock-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { type ClipFacts, timestampsS } from "../session/clip-facts.ts";
import type { Clock, Point, Shot } from "../session/schema.ts";

/** Frames that the file lacks, and what says so: its own timestamps, or the motion of a marked point. */
export interface MissingFrames {
  readonly afterFrame: number;
  readonly missing: number;
  readonly by: "stamps" | "motion";
}

type ByRate = Extract<Clock, { kind: "capture-rate" }>;

/**
 * Frames that are missing from a clip whose time is counted by its frames, whether the clock allows for
 * them or not: by the file's timestamps, and between marks of the airframe's most marked point, where it
 * moves clearly enough. Where both speak of one gap the timestamps count. Repeated frames are passed over.
 * @returns by frame; none of an unevenly timed clip in which nothing is marked
 */
export function missingFrames(
  shot: Shot,
  clock: ByRate,
  points: readonly Point[],
  facts: ClipFacts,
): readonly MissingFrames[] {
  const stamps = droppedByTimestamps(timestampsS(facts));
  const byStamps = (stamps.ok ? stamps.value : []).map((one) => ({ ...one, by: "stamps" as const }));
  const path = mostMarkedPath(shot, points, clock.repeats?.frames ?? []);
  const parts = clock.parts ?? [];
  // A step over a border is at two rates: no part's usual one.
  const byMotion = Array.from({ length: parts.length + 1 }, (_, part) =>
    droppedByMotion(path.filter(({ frame }) => partAt(frame, parts) === part)),
  )
    .flatMap((motion) => (motion.ok ? motion.value : []))
    .map((one) => ({ ...one, by: "motion" as const }))
    .filter(({ afterFrame }) => !byStamps.some((one) => one.afterFrame === afterFrame));
  return [...byStamps, ...byMotion]
    .map(({ afterFrame, missing, by }) => ({ afterFrame, missing, by }))
    .sort((a, b) => a.afterFrame - b.afterFrame);
}

/** Missing frames within the launch that the clock does not allow for: each makes what follows too early. */
export function missingFrameNotices(
  shot: Shot,
  points: readonly Point[],
  facts: ClipFacts | null,
): readonly ShotNotice[] {
  const { clock, marks } = shot;
  if (facts === null || clock?.kind !== "capture-rate" || marks.length === 0) return [];
  const allowed = new Set((clock.gaps ?? []).map(({ afterFrame }) => afterFrame));
  const frames = marks.map(({ frame }) => frame);
  const [first, last] = [Math.min(...frames), Math.max(...frames)];
  const open = missingFrames(shot, clock, points, facts).filter(
    ({ afterFrame }) => !allowed.has(afterFrame) && afterFrame >= first && afterFrame < last,
  );
  const of = (by: MissingFrames["by"]) => open.filter((one) => one.by === by);
  return [
    ...(of("stamps").length > 0 ? [CLOCK_NOTICES["stamps-show-gaps"](of("stamps"))] : []),
    ...(of("motion").length > 0 ? [CLOCK_NOTICES["motion-shows-gaps"](of("motion"))] : []),
  ];
}

/** Marks of the airframe's point with most of them, by frame, in new pictures only. */
function mostMarkedPath(
  { marks }: Shot,
  points: readonly Point[],
  repeats: readonly number[],
): readonly PathMark[] {
  const again = new Set(repeats);
  const paths = points
    .filter(({ on }) => on === "airframe")
    .map(({ id }) => marks.filter(({ pointId, frame }) => pointId === id && !again.has(frame)));
  const most = paths.reduce((best, path) => (path.length > best.length ? path : best), []);
  return most.toSorted((a, b) => a.frame - b.frame); // a session may list them in any order
}
