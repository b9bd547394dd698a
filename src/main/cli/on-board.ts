import { basename, resolve } from "node:path";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import { stackOfLog } from "../../shared/figures/stack-of-log.ts";
import { dragSays, judgeLog, type LogReport, type LogTaken } from "../../shared/on-board/judge-log.ts";
import { LOG_UNITS, type LogUnit, type OnBoardLog, readLog } from "../../shared/on-board/read-log.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { Measurement } from "../../shared/results/shot-result.ts";
import { launchInputs } from "../../shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../shared/session/schema.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { measureShots } from "../service/measure-shots.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import { diskFault } from "../store/disk-fault.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { saveEdits } from "../store/save-edits.ts";
import { FIGURE_FONTS } from "../write-up/report-figures.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords } from "./shot-words.ts";
import { table, wrapped } from "./table.ts";
import { tellBug, UsageError, type Verb, type VerbCall } from "./verb.ts";

export const onBoardVerb: Verb = {
  name: "on-board",
  usage: "FOLDER --shot ID [--log FILE] [--save] ...",
  summary:
    "Finds release speed and drag area in a log of height or acceleration, and holds it against the video.",
  details: [
    "--shot ID         shot that carried the logger",
    "--log FILE        CSV file in the folder: time, and height or acceleration; by default the one the shot has",
    "--column NAME     column to read; by default the first that is called height, altitude or acceleration",
    `--unit UNIT       ${LOG_UNITS.join(", ")}; by default what the file's header says`,
    "--assumes AIR     what an altimeter took: standard (15 \u00b0C, the default) or day, the day's temperature",
    "--until S         how long after release is fitted; by default to the greatest height, or 1 s",
    "--figure FILE.svg the readings with what was fitted",
    "--save            notes the log with the shot, by its name and content",
    "Heights need a launch steeper than 20\u00b0; accelerations are those along the airframe.",
  ],
  operands: [1, 1],
  options: {
    shot: { type: "string" },
    log: { type: "string" },
    column: { type: "string" },
    unit: { type: "string" },
    assumes: { type: "string" },
    until: { type: "string" },
    figure: { type: "string" },
    save: { type: "boolean" },
  },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const said = saidIn(options);
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    const shot = shotOf(session, options.shot);
    const name = text(options.log) ?? shot.log?.name;
    if (name === undefined) throw new UsageError("Say which log: --log FILE, a CSV file in the folder.");
    const own = shot.log?.name === name ? shot.log : undefined;
    const taken: LogTaken = {
      assumes: said.assumes ?? own?.assumes ?? "standard",
      untilS: said.untilS ?? own?.untilS ?? null,
    };
    const [column, unit] = [text(options.column) ?? own?.column ?? null, said.unit ?? own?.unit ?? null];
    const file = await folder.readLog(name);
    const log = readLog(file.text, column, unit);
    const measurement = await measurementOf(session, shot, folder, call);
    const report = judgeLog(log, taken, launchInputs(session, shot), measurement);
    const found = report.releaseSpeed !== null;
    if (found && options.save === true) {
      const { bytes, fingerprint } = file;
      const kept = { name, bytes, fingerprint, column, unit, ...taken };
      await folder.mustBeWritable();
      await saveEdits(folder, () => [{ kind: "update-shot", shotId: shot.id, patch: { log: kept } }]);
    }
    const figure = text(options.figure);
    if (found && figure !== undefined)
      await drawn(resolve(terminal.cwd, figure), name, report, session.units);
    const { samples: _s, fitted: _f, ...told } = report;
    const changed = own !== undefined && own.fingerprint !== file.fingerprint;
    if (json) {
      const { samples: _all, ...read } = log;
      const about = { shotId: shot.id, log: name, fingerprint: file.fingerprint, changed, ...read };
      terminal.out(`${JSON.stringify({ ...about, ...told }, null, 2)}\n`);
    } else if (found) {
      terminal.out(words(shot, name, log, report, session.units));
      if (changed)
        terminal.out(wrapped(`${name} is not the file this shot had noted: its content has changed.`, "  "));
      if (options.save === true) terminal.out("The log is noted with the shot.\n");
    }
    if (!found) terminal.err(noticeWords(report.notices));
    return found ? 0 : 1;
  },
};

function text(given: string | boolean | undefined): string | undefined {
  return typeof given === "string" ? given : undefined;
}

function saidIn({ unit, assumes, until }: VerbCall["options"]): {
  readonly unit: LogUnit | undefined;
  readonly assumes: LogTaken["assumes"] | undefined;
  readonly untilS: number | undefined;
} {
  const known = LOG_UNITS.find((one) => one === unit || one.replace("\u00b2", "2") === unit);
  if (unit !== undefined && known === undefined) {
    throw new UsageError(`--unit takes ${LOG_UNITS.join(", ")}, not "${unit}".`);
  }
  if (assumes !== undefined && assumes !== "standard" && assumes !== "day") {
    throw new UsageError(`--assumes takes standard or day, not "${assumes}".`);
  }
  const seconds = until === undefined || until === "" ? undefined : Number(until);
  if (seconds !== undefined && !(seconds > 0 && seconds < Infinity)) {
    throw new UsageError(`--until takes a number of seconds above zero, not "${until}".`);
  }
  return { unit: known, assumes, untilS: seconds };
}

function shotOf({ shots }: Session, given: string | boolean | undefined): Shot {
  const found = given === undefined && shots.length === 1 ? shots[0] : shots.find(({ id }) => id === given);
  if (found !== undefined) return found;
  const names = shots.map(({ id }) => id).join(", ");
  if (given === undefined) throw new UsageError(`"on-board" needs --shot: one of ${names}.`);
  throw new FaultError("unknown-shot", `The session has no shot "${given}".`, `Its shots are ${names}.`);
}

/** What the footage of the shot says; null where it has no marks, and no clip is then read. */
async function measurementOf(
  session: Session,
  shot: Shot,
  folder: FieldFolder,
  { terminal, onProgress }: VerbCall,
): Promise<Measurement | null> {
  if (shot.marks.length === 0) return null;
  const { cacheDir } = personDirs();
  const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir });
  const factsOf = createFactsCache(media, cacheDir);
  const log = (bug: unknown) => tellBug(terminal, bug);
  const work = { signal: terminal.signal, onProgress, log };
  const { results } = await measureShots(session, folder, factsOf, processWorkers(), work);
  return results.find(({ shotId }) => shotId === shot.id)?.measurement ?? null;
}

function words(shot: Shot, name: string, log: OnBoardLog, report: LogReport, units: UnitSet): string {
  const { releaseSpeed, dragAreaM2, releaseS } = report;
  const rows = [
    ["Release speed", showMeasured(releaseSpeed!, "m/s", units).text],
    ["Drag area", dragSays(dragAreaM2!)],
    ["Release, on the log's clock", showMeasured(releaseS!, "s", units).text],
  ];
  return [
    `${shot.name}: ${log.of} in ${name}, column \u201c${log.column}\u201d in ${log.unit}\n`,
    table(rows),
    noticeWords(report.notices),
  ].join("");
}

async function drawn(path: string, name: string, report: LogReport, units: UnitSet): Promise<void> {
  const stack = stackOfLog(name, report, units);
  if (stack === null) return;
  const look = { theme: "print", width: 720, height: 360, fontFamily: FIGURE_FONTS, caption: true } as const;
  try {
    await writeAtomically(path, `${figureSvg(stack, look)}\n`);
  } catch (error) {
    throw diskFault(error, `The file "${basename(path)}" could not be written`);
  }
}
