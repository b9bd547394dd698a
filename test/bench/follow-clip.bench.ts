import { mkdir, rename } from "node:fs/promises";
import { join } from "node:path";
import { processWorkers } from "../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../src/main/media/create-media.ts";
import { type FollowWay, followInClip } from "../../src/main/service/follow-in-clip.ts";
import { marksOf } from "../../src/shared/follow/follow-words.ts";
import { exists } from "./bench-clip.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";
import { runProgram } from "./run-program.ts";
import { type Taken, timed } from "./stopwatch.ts";

const FRAMES = 300;
const STEP_PX = 4; // a frame: 1.2 m/s at 240 frames a second and 1.2 mm/px
const TARGETS = [
  [200, 300],
  [260, 420],
  [220, 640],
  [280, 800],
] as const; // px, top left corners in the first frame
const SIDE = 30;
const LEAST_RATIO = 0.6;

/**
 * Follows four targets through a drawn 1080p clip, forwards from the first frame and backwards from the last,
 * against the time that ffmpeg takes to decode it and no more, by turns; then again, with the pictures kept.
 * @throws Error when a target was not followed to the end
 */
export async function benchFollowClip(ffmpegPath: string, out: string, rounds: number): Promise<BenchPart> {
  const clip = await drawn(ffmpegPath, out);
  const [bare, cold, warm, one]: [Taken[], Taken[], Taken[], Taken[]] = [[], [], [], []];
  for (let round = 0; round <= rounds; round++) {
    await inNewFolder(async (folder) => {
      const media = createMedia({ ffmpegPath, cacheDir: join(folder, "cache") });
      const facts = await media.inspect(clip);
      const follow = (ways: readonly FollowWay[]) => async () => {
        const all = await followInClip(media, processWorkers(), clip, facts, ways);
        const lost = all.findIndex((followed) => marksOf(followed).length < FRAMES - 1);
        if (lost >= 0) throw new Error(`Target ${lost} was lost in frame ${all[lost]?.end?.frame}.`);
      };
      const decode = ["-v", "error", "-nostdin", "-i", clip, "-map", "0:v:0", "-f", "null", "-"];
      const takens = [
        await timed(() => runProgram(ffmpegPath, decode)),
        await timed(follow(TARGETS.map((_, i) => wayOf(i)))),
        await timed(follow(TARGETS.map((_, i) => wayOf(i)))),
        await timed(follow([wayOf(0)])),
      ] as const;
      if (round === 0) return; // it warms the file cache and compiles
      for (const [i, list] of [bare, cold, warm, one].entries()) list.push(takens[i]!);
    });
  }
  const over = (all: readonly Taken[], of: (one: Taken) => number) =>
    bare.map((one, i) => of(one) / of(all[i]!));
  const wall = ({ wallMs }: Taken) => wallMs;
  const took = (all: readonly Taken[]) => spread(all.map(wall), ms);
  const cpu = bare.every(({ cpuMs }) => cpuMs !== null) ? ({ cpuMs }: Taken) => cpuMs! : null;
  const speed = over(cold, wall);
  return {
    title: `Following four targets through ${FRAMES} frames of a drawn 1080p clip`,
    figures: [
      {
        what: "speed, of decoding alone",
        value: spread(speed, ratio),
        target: { text: `>= ${LEAST_RATIO}`, met: median(speed) >= LEAST_RATIO },
      },
      ...(cpu === null
        ? []
        : [
            {
              what: "  by processor time",
              value: spread(over(cold, cpu), ratio),
              target: null,
            },
          ]),
      { what: "  followed again, pictures kept", value: spread(over(warm, wall), ratio), target: null },
      { what: "  one target, pictures kept", value: spread(over(one, wall), ratio), target: null },
      { what: "ffmpeg decoding alone", value: took(bare), target: null },
      { what: "four targets", value: took(cold), target: null },
      { what: "four targets again", value: took(warm), target: null },
    ],
    notes: [`${rounds} rounds by turns; each target moves ${STEP_PX} px a frame and is followed to the end`],
  };
}

function wayOf(target: number): FollowWay {
  const [x, y] = TARGETS[target]!;
  const seed = { frame: 0, at: [x + SIDE / 2, y + SIDE / 2] as const, u: 0.3 };
  return { point: `target ${target}`, seed, hands: [], to: FRAMES - 1, exposureShare: null };
}

/** The clip: H.264 with B-frames at some 60 Mbit/s, a key frame a second; drawn once. */
async function drawn(ffmpegPath: string, folder: string): Promise<string> {
  const path = join(folder, `targets-${FRAMES}.mp4`);
  const half = SIDE / 2;
  const white = "white:t=fill";
  const target = `color=c=black:s=${SIDE}x${SIDE}:r=240,drawbox=0:0:${half}:${half}:${white},drawbox=${half}:${half}:${half}:${half}:${white}`;
  const laid = TARGETS.map(
    ([x, y], i) => `[b${i}][t${i}]overlay=x='${x}+${STEP_PX}*n':y=${y}:shortest=1[b${i + 1}]`,
  );
  const graph = [
    "testsrc2=size=1920x1080:rate=240[b0]",
    `${target},split=${TARGETS.length}${TARGETS.map((_, i) => `[t${i}]`).join("")}`,
    ...laid,
    `[b${TARGETS.length}]noise=alls=8:allf=t:all_seed=7,format=yuv420p[out]`,
  ].join(";");
  await mkdir(folder, { recursive: true });
  if (await exists(path)) return path;
  const part = join(folder, "drawing.mp4");
  const how = ["-frames:v", String(FRAMES), "-c:v", "libx264", "-preset", "veryfast", "-b:v", "62M"];
  const options = ["-v", "error", "-nostdin", "-y", "-filter_complex", graph, "-map", "[out]", ...how];
  await runProgram(ffmpegPath, [...options, "-bf", "2", "-g", "240", part]);
  await rename(part, path);
  return path;
}
