import { copyFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { processWorkers } from "../../../src/main/jobs/process-workers.ts";
import { createMedia } from "../../../src/main/media/create-media.ts";
import { createClipProposals } from "../../../src/main/service/clip-proposals.ts";
import { listClips } from "../../../src/main/store/folder-clips.ts";
import { findFfmpeg } from "../../../tools/find-program.mjs";
import { DRAWN_TRUTH, writeDrawnLaunch } from "../../support/drawn-launch.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

it("finds where a drawn launch begins, its four targets, rod and cord, and keeps that for every copy", async () => {
  const [folder, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  const { path: ffmpegPath } = findFfmpeg()!;
  await writeDrawnLaunch(join(folder, "a.mp4"), ffmpegPath);
  await copyFile(join(folder, "a.mp4"), join(folder, "b.mp4"));
  const media = createMedia({ ffmpegPath, cacheDir });
  let decoded = 0;
  const counted = {
    ...media,
    differences: (...asked: Parameters<typeof media.differences>) => {
      decoded++;
      return media.differences(...asked);
    },
  };
  const look = async (name: string) => {
    const path = join(folder, name);
    const entry = (await listClips(folder)).find((one) => one.name === name)!;
    return createClipProposals(
      counted,
      processWorkers(),
      cacheDir,
    )({ ...entry, path }, await media.inspect(path));
  };
  const found = await look("a.mp4");
  const firstMoving = Math.ceil(DRAWN_TRUTH.startsS * DRAWN_TRUTH.rateHz);
  expect(found.moves!.first).toBeGreaterThanOrEqual(firstMoving);
  expect(found.moves!.first).toBeLessThanOrEqual(firstMoving + 1); // it creeps by 0.2 px in its first frame
  expect(found.frame).toBe(found.moves!.first - 3);
  const at = ([x, y]: readonly [number, number]) =>
    found.targets.find((one) => Math.hypot(one.at[0] - x, one.at[1] - y) < 0.1);
  const { nose, tail, boardA, boardB } = DRAWN_TRUTH;
  expect([nose, tail, boardA, boardB].map((place) => at(place)?.still)).toEqual([false, false, true, true]);
  expect(found.targets).toHaveLength(4);
  expect(found.rods.map((pair) => pair.map((i) => found.targets[i]!.at[0]).sort((a, b) => a - b))).toEqual([
    [expect.closeTo(boardA[0], 1), expect.closeTo(boardB[0], 1)],
  ]);
  expect(found.lines).toHaveLength(1);
  expect(await look("b.mp4")).toEqual(found);
  expect(decoded).toBe(1);
});
