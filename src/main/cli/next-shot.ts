import { askOf } from "../../shared/next-shot/next-shot.ts";
import { isRefused, type NextShotReport } from "../../shared/next-shot/next-shot-report.ts";
import {
  answerSays,
  intervalSays,
  limitRow,
  limitsSay,
  REPEAT_HEADINGS,
  repeatRow,
} from "../../shared/next-shot/next-shot-words.ts";
import { plainNumber } from "../../shared/next-shot/plain-number.ts";
import { shotSpeeds } from "../../shared/next-shot/repeats.ts";
import { showMeasured, type UnitSet } from "../../shared/quantity/display.ts";
import { elementAt, lastOf } from "../../shared/quantity/known-element.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { NextShot, Session, Shot } from "../../shared/session/schema.ts";
import { launcherOf } from "../../shared/session/what-took-part.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { createMedia } from "../media/create-media.ts";
import { createCameraLooks } from "../service/camera-looks.ts";
import { createFactsCache } from "../service/facts-cache.ts";
import { measureShots } from "../service/measure-shots.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { cardAsk, cardFileOf, written } from "./next-shot-card.ts";
import { openFolderWithSession } from "./open-folder.ts";
import { noticeWords } from "./shot-words.ts";
import { table, wrapped } from "./table.ts";
import { thrownWords } from "./thrown-words.ts";
import { tellBug, UsageError, type Verb, type VerbCall } from "./verb.ts";

const CHOICES: readonly NextShot["choose"][] = ["pressure", "mass", "stroke", "motor", "draw"];

export const nextShotVerb: Verb = {
  name: "next-shot",
  usage: "FOLDER [--speed M/S] [--choose WHAT] [--card FILE] ...",
  summary: "Says what to set for a wanted release speed, and whether that stays inside the limits.",
  details: [
    "--speed M/S       release speed wanted; by default what the session asks for",
    "--tolerance M/S   how far off still counts as reached",
    "--choose WHAT     what is changed: pressure, mass or stroke of a compressed-air ram,",
    "                  motor, mass or stroke of a rocket boost, draw or mass of an elastic line",
    "--margin N        release airspeed over stall speed at least, e.g. 1.2",
    "--like SHOT       id of the shot whose airframe, launcher, air and other settings are taken;",
    "                  the last by default",
    "--card FILE       writes a card for the field instead, a quarter page of .svg or .html: speed with its",
    "                  interval over pressure, draw or motors, with the limits and cautions",
    "--mass KG         a further airframe mass on the card; two at most, parted by a comma",
    "Measured shots of the folder tell the scatter from shot to shot. The session is only read.",
  ],
  operands: [1, 1],
  options: {
    speed: { type: "string" },
    tolerance: { type: "string" },
    choose: { type: "string" },
    margin: { type: "string" },
    like: { type: "string" },
    card: { type: "string" },
    mass: { type: "string" },
  },
  async run(call) {
    const { operands, options, json, terminal } = call;
    const numbers = numbersOf(options); // a slip is told before any clip is looked at
    const { folder, session } = await openFolderWithSession(terminal.cwd, elementAt(operands, 0));
    const cardFile = cardFileOf(options);
    const shot = shotLike(session, options.like);
    const asked = askOf(session.nextShot, launcherOf(session, shot));
    const ask = cardFile === null ? askFrom(asked, options, numbers) : cardAsk(asked, options, numbers);
    const speeds = shotSpeeds(session, shot, await measured(session, folder, call));
    if (cardFile !== null) {
      const task = { kind: "card", shotId: shot.id, ask, speeds } as const;
      return written(cardFile, await processWorkers().run(session, task, { signal: terminal.signal }), call);
    }
    const task = { kind: "next-shot", shotId: shot.id, ask, speeds } as const;
    const report = await processWorkers().run(session, task, { signal: terminal.signal });
    const refused = isRefused(report);
    if (json) terminal.out(`${JSON.stringify(report, null, 2)}\n`);
    else terminal.out(reportWords(session, shot, report));
    if (refused) terminal.err(noticeWords(report.notices));
    return refused ? 1 : 0;
  },
};

/** What was typed, checked. */
export interface Numbers {
  readonly speed: number | undefined;
  readonly tolerance: number | undefined;
  readonly margin: number | undefined;
}

function numbersOf(options: VerbCall["options"]): Numbers {
  const positive = (name: keyof Numbers) => {
    const text = options[name];
    if (typeof text !== "string") return undefined;
    const value = text.trim() === "" ? Number.NaN : Number(text);
    if (!(value > 0 && value < Infinity)) {
      throw new UsageError(`--${name} takes a number above zero, not "${text}".`);
    }
    return value;
  };
  const { choose } = options;
  if (choose !== undefined && !CHOICES.some((one) => one === choose)) {
    throw new UsageError(`--choose takes ${CHOICES.join(", ")}, not "${choose}".`);
  }
  return { speed: positive("speed"), tolerance: positive("tolerance"), margin: positive("margin") };
}

/** What the session asks for, with what the command line says instead. */
function askFrom(session: NextShot, options: VerbCall["options"], numbers: Numbers): NextShot {
  const value = numbers.speed ?? session.speedMPerS?.value;
  if (value === undefined) throw new UsageError("Say which release speed is wanted: --speed M/S.");
  const kept = numbers.speed === undefined ? session.speedMPerS?.u : undefined;
  return {
    speedMPerS: { value, u: numbers.tolerance ?? kept ?? 0 },
    choose: CHOICES.find((one) => one === options.choose) ?? session.choose,
    leastStallMargin: numbers.margin ?? session.leastStallMargin,
  };
}

function shotLike(session: Session, id: string | boolean | undefined): Shot {
  if (id === undefined) return lastOf(session.shots); // the folder is refused when it has none
  const found = session.shots.find((shot) => shot.id === id);
  if (found === undefined) {
    throw new UsageError(
      `--like takes the id of a shot: ${session.shots.map((shot) => shot.id).join(", ")}; not "${id}".`,
    );
  }
  return found;
}

/** Results of the shots with marks; where there are none, no clip is read and no ffmpeg is needed. */
async function measured(
  session: Session,
  folder: FieldFolder,
  { terminal, onProgress }: VerbCall,
): Promise<readonly ShotResult[]> {
  const shots = session.shots.filter(({ marks }) => marks.length > 0);
  if (shots.length === 0) return [];
  const { cacheDir } = personDirs();
  const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir });
  const workers = processWorkers();
  const factsOf = createFactsCache(media, cacheDir, createCameraLooks(media, workers, cacheDir));
  // Clock checks look at other shots, so the session stays whole; measuring a shot
  // without marks costs nothing.
  const options = {
    signal: terminal.signal,
    onProgress,
    log: (bug: unknown) => tellBug(terminal, bug),
  };
  return (await measureShots(session, folder, factsOf, workers, options)).results;
}

function reportWords(session: Session, shot: Shot, report: NextShotReport): string {
  const { units } = session;
  const { answer, limits, notices, setting, motors } = report;
  const answered = answerSays(report, units);
  const heading = answered === null ? "" : `${answered}\n`;
  const where = answer !== null ? "at this setting" : "as it is set now";
  const limitTable =
    limits.length === 0
      ? ""
      : `\nLimits\n${table([["", where, "limit", ""], ...limits.map((one) => limitRow(one, units))])}`;
  const besides = limits.flatMap(({ notice }) => (notice === null ? [] : [notice]));
  const alike = [`In the air and with the settings of ${shot.name}`, ...thrownWords(session, shot)].join(
    ": ",
  );
  return [
    heading,
    noticeWords(report.cautions.filter(({ level }) => level !== "note")),
    setting === null
      ? ""
      : wrapped(
          [answer?.insideLimits ? intervalSays(report, units) : "", `${alike}.`].join(" ").trim(),
          "  ",
        ),
    motorTable(report, units, motors),
    limitTable,
    noticeWords(besides),
    setting === null || notices.length > 0 ? "" : wrapped(limitsSay(report, units), "  "),
    repeatTable(report, units),
    cautionWords(report.cautions.filter(({ level }) => level === "note")),
  ].join("");
}

function cautionWords(notes: NextShotReport["cautions"]): string {
  return notes.length === 0 ? "" : `\nCautions\n${noticeWords(notes)}`;
}

function motorTable(report: NextShotReport, units: UnitSet, motors: NextShotReport["motors"]): string {
  if (motors.length === 0 || report.ask.choose !== "motor") return "";
  const rows = motors.map(({ name, speed }) => [
    name,
    speed === null ? "does not launch" : showMeasured(speed, "m/s", units).text,
  ]);
  return `\nWith one motor in every mount\n${table(rows)}`;
}

function repeatTable({ groups }: NextShotReport, units: UnitSet): string {
  const rows = groups.flatMap((group) => {
    const row = repeatRow(group, units);
    return row === null ? [] : [row];
  });
  const single = groups.filter(({ repeatability }) => repeatability === null);
  if (rows.length === 0) return "";
  const keys = Object.keys(REPEAT_HEADINGS) as (keyof typeof REPEAT_HEADINGS)[];
  const others =
    single.length === 0
      ? ""
      : wrapped(
          `Once only: ${single
            .map(({ gaugePa }) => (gaugePa === null ? "as it stands" : plainNumber(gaugePa, "Pa", units)))
            .join(", ")}.`,
          "  ",
        );
  return `\nRepeats\n${table([keys.map((key) => REPEAT_HEADINGS[key]), ...rows.map((row) => keys.map((key) => row[key]))])}${others}`;
}
