import { mkdir, mkdtemp, realpath, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Chance, createChance } from "../../src/shared/quantity/chance.ts";
import { replaySteps } from "../../src/shared/session/journal.ts";
import { sameJson } from "../../src/shared/session/patch.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../tools/find-program.mjs";
import { writeThinExample } from "../support/thin-example.ts";
import { leftBehind, mixedWriteUp, unreadable } from "./crash-checks.ts";
import { type CrashPlace, runProgram, type ServedHost, serve } from "./crash-host.ts";
import { CrashWindow, clientOf } from "./crash-window.ts";

/*
 * A window edits, undoes and starts jobs on a host that is killed at random moments; in between the command
 * line follows and measures, and is killed too. Opened again, the folder holds every step that was
 * acknowledged, and perhaps some of those under way, in order; nothing is corrupt, nothing is left behind.
 * Run from the folder of the project, which is built.
 */
const KILLS = { long: 300, short: 8 };
const TELL_EVERY = 25; // kills
const LONGEST_WORK_MS = 900;
const COMMAND_EVERY = 4; // kills
const LONGEST_COMMAND_MS = 2500; // some end by themselves before

export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  out(text: string): void;
}): Promise<boolean> {
  const { seed, long, out } = options;
  const root = await realpath(await mkdtemp(join(tmpdir(), "loftmark crash ")));
  const place = { folder: join(root, "outing"), cache: join(root, "cache") };
  const chance = createChance(seed);
  const failures: string[] = [];
  const kills = long ? KILLS.long : KILLS.short;
  let [window, acknowledged, landed, commands]: [CrashWindow | null, number, number, number] = [
    null,
    0,
    0,
    0,
  ];
  try {
    await mkdir(place.folder);
    await writeThinExample(place.folder, "plain", findFfmpeg()!.path);
    for (let kill = 0; kill <= kills; kill++) {
      const host = await serve(place);
      try {
        const { session, revision } = await clientOf(host).session();
        window ??= new CrashWindow(session, revision);
        landed += window.underWay.length > 0 && revision !== window.revision ? 1 : 0;
        const wrong = [
          ...[window.compare(session, revision)].filter((one) => one !== null),
          ...(await mixedWriteUp(place)),
          ...(await leftBehind(place, host.pid)).map((name) => `left behind: ${name}`),
        ];
        if (window.underWay.length > 0 && chance.uniform() < 0.5) await window.sendAgain(host, chance);
        else window.goOn(session, revision);
        wrong.push(...(await missingInHistory(host, window)));
        failures.push(...wrong.map((one) => `kill ${kill}: ${one}`));
        for (const one of wrong) out(`  kill ${kill}: ${one}\n`);
        if (kill === kills) break;
        if (kill > 0 && kill % TELL_EVERY === 0) {
          out(`  ${kill} kills, ${window.told.length} steps acknowledged, ${failures.length} failures\n`);
        }
        if (kill % COMMAND_EVERY === 0) {
          failures.push(
            ...(await commandLine(place, host, window, chance)).map((one) => `kill ${kill}: ${one}`),
          );
          commands++;
        }
        const work = window.work(host, chance);
        await Promise.race([work, pause(LONGEST_WORK_MS * chance.uniform())]);
        const said = await host.kill();
        await work;
        if (said !== "") failures.push(`kill ${kill}: the host wrote ${said}`);
        failures.push(...(await unreadable(place)).map((one) => `kill ${kill}: ${one}`));
      } finally {
        await host.kill();
      }
    }
    acknowledged = window?.told.length ?? 0;
    out(
      `crashes: ${kills} kills of a host, ${commands} of commands, ${acknowledged} steps acknowledged, ` +
        `${landed} saves landed unacknowledged, ${failures.length} failures\n`,
    );
    for (const failure of failures) out(`  ${failure}\n`);
    return failures.length === 0;
  } finally {
    await rm(root, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** What the history and the stack of undo lack of what was acknowledged. */
async function missingInHistory(host: ServedHost, window: CrashWindow): Promise<readonly string[]> {
  const client = clientOf(host);
  const { moments } = await client.history();
  const wrong: string[] = [];
  const says = moments
    .map((moment) => moment.says)
    .filter((one) => /^(Step|Saved)/.test(one))
    .reverse();
  const told = window.told.slice(-says.length);
  const enough = moments.length >= 2000 || says.length === window.told.length;
  if (!enough || told.join() !== says.join()) {
    const fromEnd = (list: readonly string[]) => [...list].reverse();
    const at = fromEnd(told).findIndex((one, i) => one !== fromEnd(says)[i]);
    const near = (list: readonly string[]) =>
      fromEnd(fromEnd(list).slice(Math.max(0, at - 2), at + 3)).join(", ");
    wrong.push(`the history tells ${says.length} steps, among them ${near(says)}, and not ${near(told)}`);
  }
  const { undo } = await client.undoSteps();
  if (undo !== null && !sameJson(replaySteps(undo.from, undo.steps).present, window.acked)) {
    wrong.push("the steps of undo lead to another document");
  }
  return wrong;
}

/** Lets the command line save marks or write the write-up beside the host, and kills it at some moment. */
async function commandLine(
  place: CrashPlace,
  host: ServedHost,
  window: CrashWindow,
  chance: Chance,
): Promise<readonly string[]> {
  const [point] = window.acked.points;
  const follow = ["follow", place.folder, "--point", point!.id, "--to", "60", "--save"];
  const run = runProgram(place, chance.uniform() < 0.6 ? follow : ["measure", place.folder]);
  await Promise.race([run.end, pause(LONGEST_COMMAND_MS * chance.uniform())]);
  run.child.kill("SIGKILL");
  await run.end;
  const wrong = await unreadable(place);
  const { session, revision } = await clientOf(host).session();
  // What the command saved: marks of that point, and what clips hold; everything else
  // is as the window was told.
  const rest = (one: Session) => withoutFollowed(one, point!.id);
  if (!sameJson(rest(session), rest(window.acked))) wrong.push("a command changed more than it was asked to");
  window.goOn(session, revision);
  return wrong;
}

function withoutFollowed(session: Session, pointId: string): unknown {
  const shots = session.shots.map((shot) => ({
    ...shot,
    marks: shot.marks.filter((mark) => mark.pointId !== pointId || mark.by === "hand"),
  }));
  return { ...session, clips: null, shots };
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
