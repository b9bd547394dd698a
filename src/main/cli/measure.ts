import { join, resolve } from "node:path";
import { STANDING_SAYS } from "../../shared/outings/outing-words.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createCameraLooks } from "../service/camera-looks.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { measureShots } from "../service/measure-shots.ts";
import { outingStanding } from "../service/read-outing.ts";
import { WRITE_UP_ELSEWHERE, writeFilesInto } from "../store/write-up-place.ts";
import { resultsOf } from "../write-up/results-json.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords, shotWords } from "./shot-words.ts";
import { wrapped } from "./table.ts";
import { tellBug, UsageError, type Verb } from "./verb.ts";

const FEWEST_DRAWS = 100; // a standard deviation is then good to 7 %
const MOST_DRAWS = 100_000;

export const measureVerb: Verb = {
  name: "measure",
  usage: "FOLDER [--out DIR] [--draw N]",
  summary: "Measures every shot of a field folder and writes the write-up.",
  details: [
    "--out DIR   where the write-up goes; by default the folder write-up in FOLDER",
    "--draw N    draws all inputs N times at random, and says whether the stated u holds",
    "The session, loftmark.json, is only read.",
  ],
  operands: [1, 1],
  options: { out: { type: "string" }, draw: { type: "string" } },
  async run({ operands, options, json, terminal, onProgress }) {
    const draws = drawsOf(options.draw);
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    const given = typeof options.out === "string" && options.out !== "" ? options.out : null;
    if (given === null) await folder.mustBeWritable(WRITE_UP_ELSEWHERE); // said before minutes of measuring
    const { cacheDir } = personDirs();
    const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir });
    const workers = processWorkers();
    const factsOf = createFactsCache(media, cacheDir, createCameraLooks(media, workers, cacheDir));
    const measured = await measureShots(session, folder, factsOf, workers, {
      signal: terminal.signal,
      onProgress,
      log: (bug) => tellBug(terminal, bug),
      ...(draws === null ? {} : { draws }),
    });
    const madeAt = new Date().toISOString();
    const results = resultsOf(session, measured.results, madeAt);
    if (!measured.results.some((result) => result.measurement !== null)) {
      // Nothing was measured, so there is nothing to write up; what is missing is said for each shot.
      if (json) terminal.out(`${JSON.stringify({ ...results, files: [] }, null, 2)}\n`);
      terminal.err("No shot could be measured.\n");
      for (const { shotId, notices } of measured.results) terminal.err(`${shotId}\n${noticeWords(notices)}`);
      return 1;
    }
    const task = { kind: "write-up", ...measured, madeAt } as const;
    const files = await workers.run(session, task, { signal: terminal.signal });
    const directory = given === null ? join(folder.path, "write-up") : resolve(terminal.cwd, given);
    if (given === null) await folder.writeUp(files);
    else await writeFilesInto(directory, files, terminal.cwd);
    if (json) {
      const names = files.map((file) => file.name);
      terminal.out(`${JSON.stringify({ ...results, directory, files: names }, null, 2)}\n`);
    } else {
      for (const result of measured.results) terminal.out(`${shotWords(session, result)}\n`);
      for (const outing of session.outings ?? []) {
        const standing = STANDING_SAYS[await outingStanding(folder.path, outing)];
        const count = outing.shots.length === 1 ? "one shot" : `${outing.shots.length} shots`;
        terminal.out(wrapped(`With ${count} of ${outing.title} (${outing.path}): ${standing}.`, ""));
      }
      terminal.out(`The write-up is in ${directory}\n`);
    }
    return 0;
  },
};

function drawsOf(given: string | boolean | undefined): number | null {
  if (given === undefined) return null;
  const draws = /^\d{1,9}$/.test(String(given)) ? Number(given) : Number.NaN;
  if (draws >= FEWEST_DRAWS && draws <= MOST_DRAWS) return draws;
  throw new UsageError(`--draw takes a whole number from ${FEWEST_DRAWS} to ${MOST_DRAWS}, not "${given}".`);
}
