import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import { processWorkers } from "../../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import type { Media } from "../../../src/main/media/media.ts";
import { followInClip } from "../../../src/main/service/follow-in-clip.ts";
import { marksOf } from "../../../src/shared/follow/follow-words.ts";
import type { FollowedMark } from "../../../src/shared/follow/followed.ts";
import { backSubstitute, choleskyInPlace, forwardSubstitute } from "../../../src/shared/numeric/cholesky.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";

/*
 * A real clip (test/clips/real/README.md): a ball falls before a hand-held phone. A socket on the wall
 * tells how the phone moved. Drag is left free. How much of the fall is used matters more than the u tells,
 * docs/follower-on-real-footage.md: this shows that the fall is followed, not how right g is.
 */
const CLIP = join(import.meta.dirname, "../../clips/real/ball-drop.mp4");
const BEGIN = 13; // clear of the hand
const LAST = 41; // 4.4 m/s; after it, blur of half the ball makes each mark a doubtful one
const RATE_HZ = 120; // the phone's, in the container's tags
// The ball's middle at the ceiling and at the floor, px in the picture of frame 13, from the whole clip:
// 2.28 m apart.
const [CEILING_PX, FLOOR_PX] = [69.4, 1641.7];
const FALL_M = 2.28;
const SCALE_SHARE = Math.hypot(0.007 / FALL_M, (3 * Math.SQRT2) / (FLOOR_PX - CEILING_PX)); // tape; picks of ±3 px

let home: string;
let media: Media;

beforeAll(async () => {
  home = await mkdtemp(join(tmpdir(), "loftmark-real-"));
  media = createMedia({ ffmpegPath: findFfmpeg()!.path, cacheDir: join(home, "cache") });
});
afterAll(() => rm(home, { recursive: true, force: true }));

async function follow(point: string, at: readonly [number, number], to: number) {
  const facts = await media.inspect(CLIP);
  const seed = { frame: BEGIN, at, u: 0.5 };
  const way = { point, seed, hands: [], to, exposureShare: null };
  return (await followInClip(media, processWorkers(), CLIP, facts, [way]))[0]!;
}

/**
 * Least squares of y against 1, t, t²/2 and the distance that drag in proportion to v² takes, weighted by
 * u.
 */
function fall(t: readonly number[], y: readonly number[], u: readonly number[]) {
  let [v, a] = [1500, 6500]; // px/s, px/s²: for the drag's share alone, twice improved
  let g = { value: 0, u: 0 };
  for (let round = 0; round < 3; round++) {
    const rows = t.map((s) => [
      1,
      s,
      s ** 2 / 2,
      -(v ** 2 * s ** 2) / 2 - (v * a * s ** 3) / 3 - (a ** 2 * s ** 4) / 12,
    ]);
    const normal = new Float64Array(16);
    const right = new Float64Array(4);
    const scale = [1, 1e3, 1e4, 1e-4]; // of the four, so that the sums stay of one size
    for (let i = 0; i < t.length; i++) {
      const row = rows[i]!.map((x, k) => (x * scale[k]!) / u[i]!);
      for (let p = 0; p < 4; p++) {
        for (let q = 0; q < 4; q++) normal[4 * p + q]! += row[p]! * row[q]!;
        right[p]! += (row[p]! * y[i]!) / u[i]!;
      }
    }
    if (choleskyInPlace(normal, 4) === null) throw new Error("the fall is not determined");
    const by = (b: Float64Array) => backSubstitute(normal, 4, forwardSubstitute(normal, 4, b));
    const found = by(right);
    [v, a] = [found[1]! * scale[1]!, found[2]! * scale[2]!];
    g = { value: a, u: Math.sqrt(by(Float64Array.of(0, 0, 1, 0))[2]!) * scale[2]! };
  }
  return g;
}

const off = (marks: readonly FollowedMark[], frame: number) => marks.find((mark) => mark.frame === frame)!;

it("a ball of a real clip is followed from one mark, and its fall is g within the stated u", async () => {
  const ball = await follow("ball", [36, 220], LAST);
  const wall = await follow("socket", [97, 1303], LAST);
  expect([ball.end, wall.end]).toEqual([null, null]);
  const [falling, still] = [marksOf(ball), marksOf(wall)];
  expect(falling).toHaveLength(LAST - BEGIN);
  expect(still).toHaveLength(LAST - BEGIN);
  const t = falling.map(({ frame }) => (frame - BEGIN) / RATE_HZ);
  const y = falling.map(({ frame, at }) => at[1] - (off(still, frame).at[1] - 1303));
  const u = falling.map(({ frame, u: own }) => Math.hypot(own, off(still, frame).u));
  const g = fall(t, y, u);
  const metres = FALL_M / (FLOOR_PX - CEILING_PX);
  const [value, stated] = [g.value * metres, Math.hypot(g.u * metres, g.value * metres * SCALE_SHARE)];
  expect(Math.abs(value - 9.81)).toBeLessThan(2 * stated);
  expect(stated / value).toBeLessThan(0.05);
});
