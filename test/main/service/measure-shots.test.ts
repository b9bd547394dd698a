import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { expect, it } from "vitest";
import { OutOfPatience } from "../../../src/main/jobs/worker-thread.ts";
import type { Workers } from "../../../src/main/jobs/workers.ts";
import { createFactsCache } from "../../../src/main/service/facts-cache.ts";
import { measureShots } from "../../../src/main/service/measure-shots.ts";
import { openFieldFolder } from "../../../src/main/store/field-folder.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { paperMedia } from "../../support/paper-media.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

const session = {
  ...freshSession("t"),
  shots: ["one", "two", "three"].map((name, i) => freshShot(`shot-${i + 1}`, name, "a.mp4")),
};

/** Measures with work that answers as told for a shot's id. */
async function measured(answer: (kind: string, shotId: string) => unknown) {
  const [path, cacheDir] = [await temporaryFolder(), await temporaryFolder()];
  await writeFile(join(path, "a.mp4"), "clip of 5 frames");
  const [logged, told]: [unknown[], string[]] = [[], []];
  const workers = {
    async run(_session: unknown, task: { kind: string; shotId: string }, options?: { onStart?: () => void }) {
      options?.onStart?.();
      const given = answer(task.kind, task.shotId);
      if (given instanceof Error) throw given;
      return given;
    },
  } as unknown as Workers;
  const factsOf = createFactsCache(paperMedia().media, cacheDir);
  const { results } = await measureShots(session, await openFieldFolder(path), factsOf, workers, {
    log: (bug) => logged.push(bug),
    onProgress: ({ doing }) => told.push(doing),
  });
  return { results, logged, told };
}

const good = (shotId: string) => ({
  shotId,
  measurement: {},
  prediction: null,
  comparison: null,
  notices: [],
});
const predicted = { prediction: { quantities: {} }, notices: [] };

it("refuses a shot whose measurement throws, by name, measures the others, and logs what was thrown", async () => {
  const bug = new RangeError("repeats.frames [20, 13]");
  const { results, logged } = await measured((kind, shotId) =>
    kind === "predict" ? predicted : shotId === "shot-2" ? bug : good(shotId),
  );
  expect(results.map(({ measurement }) => measurement !== null)).toEqual([true, false, true]);
  expect(results[1]).toMatchObject({ shotId: "shot-2", prediction: predicted.prediction });
  expect(results[1]!.notices[0]).toMatchObject({ level: "refusal", code: ofShot("not-measured") });
  expect(results[1]!.notices[0]!.cause).toContain("two could not be measured");
  expect(JSON.stringify(results)).not.toContain("repeats.frames");
  expect(logged).toEqual([bug]);
});

it("refuses a shot also when its prediction throws, which the measurement needs", async () => {
  const { results, logged } = await measured((_, shotId) =>
    shotId === "shot-3" ? new Error("deep inside") : good(shotId),
  );
  expect(results[2]).toMatchObject({ measurement: null, prediction: null });
  expect(results[2]!.notices.map(({ code }) => code)).toEqual([ofShot("not-measured")]);
  expect(logged).toHaveLength(1);
});

it("says of a shot that never came to an end after how long it was stopped, and does not wait for it again", async () => {
  const kinds: string[] = [];
  const { results } = await measured((kind, shotId) => {
    kinds.push(`${kind} ${shotId}`);
    return shotId === "shot-1" ? new OutOfPatience(120_000) : good(shotId);
  });
  expect(results[0]!.notices[0]!.cause).toBe(
    "one could not be measured: the computation was stopped after 120 s without a result. Other shots are not affected.",
  );
  expect(kinds).not.toContain("predict shot-1");
});

it("tells shot by shot how far it is", async () => {
  const { told } = await measured((_, shotId) => good(shotId));
  expect(told.filter((doing) => doing.startsWith("Shot"))).toEqual([
    "Shot 1 of 3: measuring",
    "Shot 2 of 3: measuring",
    "Shot 3 of 3: measuring",
  ]);
});
