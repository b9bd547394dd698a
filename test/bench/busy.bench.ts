import { type ChildProcess, spawn } from "node:child_process";
import { mkdir, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { createClient, framePath } from "../../src/shared/api/client.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";
import type { Edit } from "../../src/shared/session/edits.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { manyShots } from "../support/many-shots.ts";
import { stepOf } from "../support/step-of.ts";
import { writeThinExample } from "../support/thin-example.ts";
import { inNewFolder } from "./field.ts";
import { type BenchPart, type Figure, median, ms, percentile, spread } from "./figures.ts";

const SHOTS = 12;
const MOST_ANSWER_MS = 50;
const MOST_CANCEL_MS = 200;
const MOST_SIGNAL_MS = 1000;
const SAVE_EVERY_MS = 120; // oftener than a person can change something, so that there are answers enough
const FRAME_EVERY_MS = 60;
const FRAMES = 100;
const CALM_MS = 4000;

/**
 * What the built program answers while it measures twelve shots for a write-up, over the loopback host as a
 * page asks it: saves, frames that are in the cache, and the end of a write-up; and how soon a busy program
 * has ended after a signal.
 * @param program the built command line
 */
export async function benchBusy(program: string, ffmpegPath: string, rounds: number): Promise<BenchPart> {
  return inNewFolder(async (home) => {
    const folder = join(home, "field");
    await mkdir(folder);
    await writeThinExample(folder, "plain", ffmpegPath);
    const session = manyShots(SHOTS);
    await writeFile(join(folder, "loftmark.json"), JSON.stringify(session));
    const env = { ...process.env, LOFTMARK_CACHE: join(home, "cache"), LOFTMARK_DATA: join(home, "data") };
    const host = spawn(process.execPath, [program, "serve", folder, "--json"], {
      env,
      stdio: ["ignore", "pipe", "ignore"],
    });
    let busy: Busy;
    let cancels: readonly number[];
    try {
      const client = await clientOf(host);
      await ended(client, (await client.startJob(allFrames)).id);
      busy = await whileWritingUp(client, session);
      cancels = [];
      for (let round = 0; round < rounds; round++) cancels = [...cancels, await cancelled(client)];
    } finally {
      host.kill("SIGKILL");
    }
    const signals: number[] = [];
    for (let round = 0; round < rounds; round++) signals.push(await signalled(program, folder, round));
    return partOf(busy, cancels, signals);
  });
}

interface Answers {
  readonly savesMs: readonly number[];
  readonly framesMs: readonly number[];
  /** Requests that the host cut off unanswered; they count with the time until then. */
  readonly cutOff: number;
}

interface Busy extends Answers {
  /** s, of a write-up with nothing beside it, and with the saves and frames. */
  readonly aloneS: number;
  readonly besideS: number;
  /** The same saves and frames while nothing is measured. */
  readonly calm: Answers;
}

type BenchClient = ReturnType<typeof createClient> & { readonly frame: (index: number) => Promise<void> };

const allFrames = { kind: "extract", clip: EXAMPLE_CLIP, from: 0, to: FRAMES - 1, size: "full" } as const;

/** Waits for the address and gives a client of it. */
async function clientOf(host: ChildProcess): Promise<BenchClient> {
  const line = await new Promise<string>((resolve, reject) => {
    let text = "";
    host.stdout?.on("data", (chunk) => {
      text += chunk;
      if (text.includes("\n")) resolve(text);
    });
    host.on("exit", () => reject(new Error("The loopback host ended before it told its address.")));
  });
  const { origin, searchParams } = new URL((JSON.parse(line) as { url: string }).url);
  const authorization = `Bearer ${searchParams.get("token")}`;
  const ask = (path: string, init: RequestInit = {}) =>
    fetch(`${origin}${path}`, { ...init, headers: { ...init.headers, authorization } });
  const { id } = (await (await ask("/host/info")).json()) as { id: string };
  return {
    ...createClient((path, init) => ask(path, init), "", id),
    async frame(index) {
      const reply = await ask(framePath(EXAMPLE_CLIP, index, "full", undefined, id)).catch(() => {
        throw new FaultError("no-answer", `Frame ${index} was not answered.`, "");
      });
      if (!reply.ok) throw new Error(`Frame ${index} was answered with status ${reply.status}.`);
      await reply.arrayBuffer();
    },
  };
}

/** Waits for the end of a job. @throws Error when it is not done */
async function ended(client: BenchClient, id: string): Promise<void> {
  for (;;) {
    const looked = await client.job(id).catch((thrown: unknown) => {
      if (!isUnanswered(thrown)) throw thrown;
      return { state: "running", error: null } as const; // asked again
    });
    const { state, error } = looked;
    if (state === "done") return;
    if (state !== "running") throw new Error(error?.cause ?? `The job was ${state}.`);
    await pause(20);
  }
}

/** A write-up alone, and one while saves and frames are asked for until it has ended. */
async function whileWritingUp(client: BenchClient, session: Session): Promise<Busy> {
  const timedJob = async () => {
    const from = performance.now();
    await ended(client, (await client.startJob({ kind: "write-up" })).id);
    return (performance.now() - from) / 1000;
  };
  let { revision } = await client.session();
  let document = session;
  const answersWhile = async (work: Promise<unknown>): Promise<Answers> => {
    const going = { on: true, cutOff: 0 };
    const every = async (eachMs: number, ask: (n: number) => Promise<void>): Promise<readonly number[]> => {
      const took: number[] = [];
      while (going.on) {
        const from = performance.now();
        await ask(took.length).catch((error: unknown) => {
          if (!isUnanswered(error)) throw error;
          going.cutOff++;
        });
        took.push(performance.now() - from);
        await pause(Math.max(0, eachMs - (performance.now() - from)));
      }
      return took;
    };
    const end = work.finally(() => {
      going.on = false;
    });
    const [savesMs, framesMs] = await Promise.all([
      every(SAVE_EVERY_MS, async (n) => {
        const edit: Edit = { kind: "set-title", title: `Outing, change ${n} of ${revision.slice(0, 8)}` };
        const { after, step } = stepOf(edit, document);
        ({ revision } = await client.saveSteps({ steps: [step], baseRevision: revision }));
        document = after;
      }),
      every(FRAME_EVERY_MS, (n) => client.frame((7 * n) % FRAMES)),
      end,
    ]);
    return { savesMs, framesMs, cutOff: going.cutOff };
  };
  const aloneS = await timedJob();
  const calm = await answersWhile(pause(CALM_MS));
  const job = timedJob();
  const answers = await answersWhile(job);
  return { ...answers, aloneS, besideS: await job, calm };
}

/** From the request to stop a write-up in the middle of a shot until it is answered, ms. */
async function cancelled(client: BenchClient): Promise<number> {
  const { id } = await client.startJob({ kind: "write-up" });
  await pause(700); // it is measuring by then, and goes on for longer
  const from = performance.now();
  await client.cancelJob(id).catch((error: unknown) => {
    if (!isUnanswered(error)) throw error;
  });
  return performance.now() - from;
}

function isUnanswered(error: unknown): boolean {
  return error instanceof FaultError && error.fault.code === "no-answer";
}

/** From a signal to a program that measures, with minutes of work before it, until it has ended, ms. */
async function signalled(program: string, folder: string, round: number): Promise<number> {
  const [out, cache] = [join(folder, "..", "out"), join(folder, "..", `cache-${round}`)];
  const child = spawn(process.execPath, [program, "measure", folder, "--draw", "100000", "--out", out], {
    env: { ...process.env, LOFTMARK_CACHE: cache },
    stdio: "ignore",
  });
  const exit = new Promise((resolve) => child.on("exit", resolve));
  // Once the facts of the clip are written it measures, and a second later it is in the middle of that.
  while ((await readdir(join(cache, "facts")).catch(() => [])).length === 0) {
    if (child.exitCode !== null) throw new Error("The measuring ended before it had begun.");
    await pause(20);
  }
  await pause(1000);
  if (child.exitCode !== null) throw new Error("The measuring was over before it could be stopped.");
  const from = performance.now();
  child.kill("SIGTERM");
  const late = new AbortController();
  const outOfPatience = pause(30_000, null, { signal: late.signal }).then(
    () => child.kill("SIGKILL"),
    () => {},
  );
  await exit;
  late.abort();
  await outOfPatience;
  const took = performance.now() - from;
  if ((await readdir(out).catch(() => [])).length > 0)
    throw new Error("A stopped measuring wrote something.");
  return took;
}

function partOf(
  { aloneS, besideS, savesMs, framesMs, cutOff, calm }: Busy,
  cancels: readonly number[],
  signals: readonly number[],
): BenchPart {
  const seconds = (value: number) => `${value.toFixed(1)} s`;
  return {
    title: `Saves and frames while ${SHOTS} shots are measured for a write-up, over the loopback host`,
    figures: [
      answerFigure("a save", savesMs, true),
      answerFigure("  while nothing is measured", calm.savesMs, false),
      answerFigure("a frame from the cache", framesMs, true),
      answerFigure("  while nothing is measured", calm.framesMs, false),
      targetFigure("a write-up stopped in the middle, until that is answered", cancels, MOST_CANCEL_MS),
      targetFigure("a busy `measure` after SIGTERM, until it has ended", signals, MOST_SIGNAL_MS),
      { what: "the write-up alone", value: seconds(aloneS), target: null },
      { what: "  with the saves and frames beside it", value: seconds(besideS), target: null },
    ],
    notes: [
      `${savesMs.length} saves, one each ${SAVE_EVERY_MS} ms; ${framesMs.length} frames, one each ${FRAME_EVERY_MS} ms, both from one process; ${cutOff} were cut off unanswered`,
      `${cancels.length} rounds of stopping and of signals; a program that had not ended 30 s after the signal was killed`,
    ],
  };
}

function answerFigure(what: string, took: readonly number[], held: boolean): Figure {
  const high = percentile(took, 0.95);
  return {
    what: `${what}: 95th percentile, median, longest`,
    value: `${ms(high)}, ${ms(median(took))}, ${ms(Math.max(...took))}`,
    target: held ? { text: `<= ${MOST_ANSWER_MS} ms`, met: high <= MOST_ANSWER_MS } : null,
  };
}

function targetFigure(what: string, took: readonly number[], mostMs: number): Figure {
  return {
    what,
    value: spread(took, ms),
    target: { text: `<= ${mostMs} ms`, met: percentile(took, 0.95) <= mostMs },
  };
}
