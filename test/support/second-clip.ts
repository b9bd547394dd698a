import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Session, Shot } from "../../src/shared/session/schema.ts";

/** Of the second clip's pictures, over the first's; every second frame of it is there. */
export const SMALLER = 0.75;
const [EVERY, CLIP] = [2, "second-shot.mp4"];

/**
 * Adds a second shot to a folder that holds the example: the same launch, filmed at half the rate in smaller
 * pictures, so that what is known of the first is known of it. And a third, of the first clip, without marks.
 */
export function addSecondClip(folder: string, ffmpegPath: string): void {
  const path = join(folder, "loftmark.json");
  const session = JSON.parse(readFileSync(path, "utf8")) as Session;
  const [first] = session.shots;
  const filter = `select=not(mod(n\\,${EVERY})),scale=iw*${SMALLER}:ih*${SMALLER}`;
  const args = ["-v", "error", "-y", "-i", join(folder, first!.clip!), "-vf", filter, "-vsync", "vfr"];
  const made = spawnSync(ffmpegPath, [...args, "-an", join(folder, CLIP)], { encoding: "utf8" });
  if (made.status !== 0) throw new Error(`addSecondClip: ${made.stderr}`);
  const unmarked = { ...first!, id: "shot-3", name: "Unmarked", marks: [] };
  const shots = [{ ...first!, name: "Full rate" }, secondOf(first!), unmarked];
  writeFileSync(path, JSON.stringify({ ...session, shots }));
}

/** The first shot as the second clip shows it. */
function secondOf(first: Shot): Shot {
  if (first.clock?.kind !== "capture-rate" || first.scale === null || first.plumb === null) {
    throw new RangeError("secondOf: need the example's shot");
  }
  const { value, u } = first.clock.captureRateHz;
  const small = ([x, y]: readonly [number, number]): [number, number] => [x * SMALLER, y * SMALLER];
  return {
    ...first,
    id: "shot-2",
    name: "Half rate",
    clip: CLIP,
    clock: { ...first.clock, captureRateHz: { value: value / EVERY, u: u / EVERY } },
    scale: { ...first.scale, a: small(first.scale.a), b: small(first.scale.b) },
    plumb: { ...first.plumb, top: small(first.plumb.top), bottom: small(first.plumb.bottom) },
    marks: first.marks.flatMap((mark) =>
      mark.frame % EVERY === 0
        ? [
            {
              ...mark,
              frame: mark.frame / EVERY,
              x: mark.x * SMALLER,
              y: mark.y * SMALLER,
              u: mark.u * SMALLER,
            },
          ]
        : [],
    ),
  };
}
