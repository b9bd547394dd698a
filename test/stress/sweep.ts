import { type ChildProcess, fork } from "node:child_process";
import { readFileSync } from "node:fs";
import { mkdtemp, rm } from "node:fs/promises";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "vite";
import { type Chance, createChance } from "../../src/shared/quantity/chance.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { drawnMutations, everyNumber, everySwap, type Mutation, mutated, mutationText } from "./mutations.ts";
import { type SweepSession, sweepSessions } from "./sweep-sessions.ts";
import { failureOf, isSlow } from "./sweep-verdict.ts";
import { TRIAL_STEPS, type TrialOutcome, type TrialStep } from "./trial.ts";
import type { TrialRequest } from "./trial-process.ts";

/*
 * The long run of mutated documents: every number of the example times 0, -1, 10, 1000 and 1e6, every
 * type swapped; then 20 000 seeded mutations of all samples; then every number and type of the other
 * samples. Run from the folder of the project. A trial runs in a process of its own, which is ended
 * when it does not answer.
 */

const GIVEN_UP_S = 30; // of processor time: a process that has not answered by then never will
const LOOK_EVERY_MS = 1000;
const LONG_TRIALS = 20_000;
const SHORT_TRIALS = 400;
const TELL_EVERY = 200; // trials
const SHOWN = 100; // failures told one by one

interface Trial {
  readonly name: string;
  readonly before: Session;
  readonly mutations: readonly Mutation[];
  readonly document: unknown;
  readonly facts: ClipFacts;
  readonly steps: readonly TrialStep[];
  /** The one shot that is measured; null for all. */
  readonly only: number | null;
  readonly systematic: boolean;
}

/** @returns whether every trial ended in time in a result, a notice or a refusal that names the field */
export async function run(options: {
  readonly seed: number;
  readonly long: boolean;
  /** Documents passed over, in the order of a run of this seed: those an earlier run has tried. */
  readonly from?: number;
  /** Documents with drawn mutations; left out, 20 000 for a long run and 400 for a short one. */
  readonly trials?: number;
  out(text: string): void;
}): Promise<boolean> {
  const { seed, long, out, from = 0, trials: count = long ? LONG_TRIALS : SHORT_TRIALS } = options;
  const folder = await mkdtemp(join(tmpdir(), "loftmark-sweep-"));
  try {
    const program = await builtProgram(folder);
    const trials = trialsOf(seed, count, long);
    for (let passed = 0; passed < from; passed++) trials.next();
    const failures: string[] = [];
    const ends = new Map<string, number>();
    const tally = (end: string) => ends.set(end, (ends.get(end) ?? 0) + 1);
    const done = { systematic: 0, drawn: 0 };
    const told = () => {
      const counts = [...ends].map(([end, count]) => `${count} ${end}`).join(", ");
      return `${done.systematic} documents changed systematically, ${done.drawn} at random: ${counts}`;
    };
    const workers = Array.from({ length: Math.max(1, cpus().length) }, async () => {
      const runner = createRunner(program);
      for (const one of trials) {
        let outcome = await runner.run(one);
        // A busy machine makes processor time longer too: what was slow once is tried again.
        if (isSlow(outcome)) outcome = await runner.run(one);
        const failure = failureOf(one.before, one.mutations, outcome);
        tally(failure !== null ? "failed" : outcome.refusal !== null ? "refused" : "result or notice");
        if (failure !== null) {
          failures.push(failure);
          if (failures.length <= SHOWN) out(`${one.name}: ${mutationText(one.mutations)}: ${failure}\n`);
        }
        done[one.systematic ? "systematic" : "drawn"]++;
        if ((done.systematic + done.drawn) % TELL_EVERY === 0) out(`${told()}\n`);
      }
      runner.close();
    });
    await Promise.all(workers);
    out(`seed ${seed}${from > 0 ? `, after the first ${from}` : ""}: ${told()}\n`);
    return failures.length === 0;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function builtProgram(folder: string): Promise<string> {
  await build({
    root: process.cwd(),
    configFile: false,
    logLevel: "warn",
    build: {
      ssr: true,
      target: "node20",
      outDir: folder,
      emptyOutDir: true,
      rolldownOptions: {
        input: { trial: join(process.cwd(), "test", "stress", "trial-process.ts") },
        output: { entryFileNames: "[name].mjs" },
      },
    },
    ssr: { noExternal: true },
  });
  return join(folder, "trial.mjs");
}

/**
 * The example in every way (long runs only), then drawn ones, then the others in every way; one iterator that
 * all processes take from.
 */
function* trialsOf(seed: number, count: number, systematic: boolean): Generator<Trial> {
  const sessions = sweepSessions();
  const [example, ...others] = sessions;
  const chance = createChance(seed);
  // In an order drawn by chance, what has been tried at any moment is a fair sample of all.
  function* every(samples: readonly SweepSession[]): Generator<Trial> {
    const all = systematic ? samples.flatMap((sample) => systematicOf(sample, chance)) : [];
    for (const { sample, mutation } of shuffled(all, chance)) yield trialOf(sample, [mutation], true, chance);
  }
  yield* every([example as SweepSession]);
  for (let made = 0; made < count; made++) {
    const sample = drawnFrom(sessions, chance);
    yield trialOf(sample, drawnMutations(sample.session, chance), false, chance);
  }
  yield* every(others);
}

const MARK_SHARE = 0.02; // marks are many and alike: each field of one is tried in every way by some of them

function systematicOf(sample: SweepSession, chance: Chance) {
  return [...everyNumber(sample.session), ...everySwap(sample.session)]
    .filter(({ path }) => path[2] !== "marks" || path.length < 4 || chance.uniform() < MARK_SHARE)
    .map((mutation) => ({ sample, mutation }));
}

// a write-up and what else takes seconds is made of so many; the others measure one shot
const WHOLE_SHARE = { systematic: 0.1, drawn: 0.05 } as const;

function trialOf(
  { name, session, facts }: SweepSession,
  mutations: readonly Mutation[],
  systematic: boolean,
  chance: Chance,
): Trial {
  const whole = chance.uniform() < WHOLE_SHARE[systematic ? "systematic" : "drawn"];
  const [list, index] = mutations[0]!.path;
  const shot = list === "shots" && typeof index === "number" ? index : null;
  return {
    name,
    before: session,
    mutations,
    systematic,
    document: mutated(session, mutations),
    facts,
    steps: whole ? TRIAL_STEPS : ["open", "measure"],
    only: whole ? null : (shot ?? Math.floor(session.shots.length * chance.uniform())),
  };
}

function shuffled<T>(list: readonly T[], chance: Chance): readonly T[] {
  const mixed = [...list];
  for (let i = mixed.length - 1; i > 0; i--) {
    const j = Math.floor((i + 1) * chance.uniform());
    [mixed[i], mixed[j]] = [mixed[j] as T, mixed[i] as T];
  }
  return mixed;
}

function drawnFrom<T>(list: readonly T[], chance: Chance): T {
  return list[Math.floor(list.length * chance.uniform())] as T;
}

/** Runs trials one after the other in a process, a fresh one after each that was given up. */
function createRunner(program: string) {
  let child: ChildProcess | null = null;

  return {
    run({ document, facts, steps, only }: Trial): Promise<TrialOutcome> {
      child ??= fork(program, { serialization: "advanced" });
      const now = child;
      return new Promise((resolve) => {
        const from = processorS(now);
        const end = (outcome: TrialOutcome, over: boolean) => {
          clearInterval(timer);
          now.removeAllListeners();
          if (over) {
            now.kill("SIGKILL");
            child = null;
          }
          resolve(outcome);
        };
        const failed = (problem: string) =>
          end({ steps: [{ step: "measure", ms: 0, problem }], refusal: null, codes: [] }, true);
        const timer = setInterval(() => {
          if (processorS(now) - from > GIVEN_UP_S) failed(`no answer in ${GIVEN_UP_S} s`);
        }, LOOK_EVERY_MS);
        now.once("message", (outcome) => end(outcome as TrialOutcome, false));
        now.once("exit", (code, signal) => failed(`the process ended (${code ?? signal})`));
        now.send({ document, facts, steps, only } satisfies TrialRequest);
      });
    },
    close() {
      child?.removeAllListeners();
      child?.kill();
    },
  };
}

const TICKS_PER_S = 100; // of /proc on Linux
const USER_TICKS = 11; // place of the user time behind the name of the program, which is in brackets

/** s of processor time that a process has used; where the system does not tell, of the clock on the wall. */
function processorS({ pid }: ChildProcess): number {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, "utf8")
      .replace(/^.*\) /, "")
      .split(" ");
    return (Number(fields[USER_TICKS]) + Number(fields[USER_TICKS + 1])) / TICKS_PER_S;
  } catch {
    return performance.now() / 1000;
  }
}
