import { join } from "node:path";
import { examplePixel } from "../../src/main/example/example-motion.ts";
import type { TargetId } from "../../src/main/example/example-scene.ts";
import { EXAMPLE_CLIP, exampleSession } from "../../src/main/example/example-session.ts";
import { EXAMPLE_SHOT_ID, exampleTruth } from "../../src/main/example/example-truth.ts";
import { writeExample } from "../../src/main/example/write-example.ts";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import { followInClip } from "../../src/main/service/follow-in-clip.ts";
import { marksOf } from "../../src/shared/follow/follow-words.ts";
import { followerMarks, followOrder } from "../../src/shared/measure/follow-order.ts";
import { measureShot } from "../../src/shared/measure/measure-shot.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import { applyEdit } from "../../src/shared/session/edits.ts";
import { filmedShot } from "../../src/shared/session/filmed-shot.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, ms } from "./figures.ts";

const TARGETS = ["nose", "tail"] as const satisfies readonly TargetId[];
const MOVES_FROM = 29; // the first frame after first motion
const MOST_CHI = 1.2;
const MOST_SPEED = 0.007;
const MOST_U = 2.5;

/**
 * Follows both targets of the example launch from one hand mark each through its compressed clip, and holds
 * every place against the true one, and the release speed measured from them against the true speed.
 * @throws Error when a target was not followed to the end
 */
export async function benchFollow(ffmpegPath: string): Promise<BenchPart> {
  return inNewFolder(async (folder) => {
    await writeExample(folder, { ffmpegPath });
    const media = createMedia({ ffmpegPath, cacheDir: join(folder, "cache") });
    const clip = join(folder, EXAMPLE_CLIP);
    const facts = await media.inspect(clip);
    let session = oneMarkEach(exampleSession(1));
    const lines: { what: string; value: string; target: BenchPart["figures"][number]["target"] }[] = [];
    let [frames, tookMs] = [0, 0];
    for (const id of TARGETS) {
      const [shot] = session.shots;
      const seed = shot!.marks.find(({ pointId, by }) => pointId === id && by === "hand")!;
      const order = followOrder(filmedShot(session, shot!), id, seed.frame, facts.pts.length - 1)!;
      const from = performance.now();
      const followed = (await followInClip(media, processWorkers(), clip, facts, [order]))[0]!;
      tookMs += performance.now() - from;
      const marks = marksOf(followed);
      frames += marks.length;
      if (followed.end !== null) throw new Error(`The ${id} was lost in frame ${followed.end.frame}.`);
      const { px, chi } = scatter(
        id,
        marks.filter(({ frame }) => frame >= MOVES_FROM),
      );
      lines.push({
        what: `${id}: rms error, what the hand mark is off taken out`,
        value: `${px.toFixed(4)} px, ${chi.toFixed(2)} u`,
        target: { text: `<= ${MOST_CHI} u`, met: chi <= MOST_CHI },
      });
      const placed = followerMarks(shot!, id, followed);
      session = applyEdit(session, { kind: "set-marks", shotId: shot!.id, marks: placed });
    }
    return {
      title: "Following nose and tail through the example's clip, from one hand mark each",
      figures: [
        ...lines,
        ...speedFigures(session, facts),
        { what: "decoding and following, a frame", value: ms(tookMs / frames), target: null },
      ],
      notes: [
        `${frames} frames followed; errors are of the ${TARGETS.length} targets in motion, from frame ${MOVES_FROM} on`,
      ],
    };
  });
}

function oneMarkEach(session: Session): Session {
  const shots = session.shots.map((shot) => ({
    ...shot,
    marks: TARGETS.map((id) => shot.marks.find(({ pointId }) => pointId === id)!),
  }));
  return { ...session, shots };
}

/** About the mean error: px, and in each mark's own u. */
function scatter(
  id: TargetId,
  marks: readonly { readonly frame: number; readonly at: readonly [number, number]; readonly u: number }[],
) {
  const off = marks.map(({ frame, at, u }) => {
    const [x, y] = examplePixel(id, frame);
    return [at[0] - x, at[1] - y, u] as const;
  });
  const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;
  const [mx, my] = [mean(off.map(([x]) => x)), mean(off.map(([, y]) => y))];
  const square = ([x, y]: readonly [number, number, number]) => ((x - mx) ** 2 + (y - my) ** 2) / 2;
  return {
    px: Math.sqrt(mean(off.map(square))),
    chi: Math.sqrt(mean(off.map((one) => square(one) / one[2] ** 2))),
  };
}

function speedFigures(session: Session, facts: ClipFacts): BenchPart["figures"] {
  const measured = measureShot(session, EXAMPLE_SHOT_ID, facts).measurement?.quantities.releaseSpeed;
  const truth = exampleTruth().shots[0]?.quantities.releaseSpeed?.value;
  if (measured === undefined || truth === undefined) throw new Error("The shot was not measured.");
  const share = measured.value / truth - 1;
  const inU = (measured.value - truth) / measured.u;
  return [
    {
      what: "release speed from these marks, error",
      value: `${(100 * share).toFixed(3)} %, ${inU.toFixed(2)} u (u ${((100 * measured.u) / truth).toFixed(3)} %)`,
      target: {
        text: `<= ${(100 * MOST_SPEED).toFixed(1)} % and ${MOST_U} u`,
        met: Math.abs(share) <= MOST_SPEED && Math.abs(inU) <= MOST_U,
      },
    },
  ];
}
