import { join } from "node:path";
import { exampleSession } from "../../src/main/example/example-session.ts";
import { predictShot } from "../../src/shared/predict/predict-shot.ts";
import type { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";
import { type BenchPart, type Figure, median, ms, ratio, spread } from "./figures.ts";
import { benchRam } from "./ram.bench.ts";
import { scipyFigures } from "./ram-scipy.ts";
import { runProgram } from "./run-program.ts";

const REL_TOL = 1e-8;
const MOST_MS = 5;
const MOST_FIRST_MS = 20;
const WARM_RUNS = 200;
const MOST_SHOT_MS = 150;
const SHOT_RUNS = 12;

/**
 * Times the six published ram cases: settled in a process that goes on, the first of a fresh one, and, where
 * it is installed, scipy's solve_ivp on the same problem at the same tolerance.
 * @throws Error when scipy finds another exit speed
 */
export async function benchPredict(rounds: number): Promise<BenchPart> {
  const program = join(import.meta.dirname, "ram-once.js");
  const ours = benchRam(REL_TOL, WARM_RUNS);
  const names = Object.keys(ours) as (keyof typeof RAM_CASES)[];
  const firsts = new Map<string, number[]>();
  for (let round = 0; round < rounds; round++) {
    for (const one of names) {
      const tookMs = Number(await runProgram(process.execPath, [program, one]));
      firsts.set(one, [...(firsts.get(one) ?? []), tookMs]);
    }
  }
  const scipy = await scipyFigures(REL_TOL);
  for (const one of names) {
    const theirs = scipy?.cases[one].exitSpeedMPerS ?? ours[one].exitSpeedMPerS;
    if (!(Math.abs(theirs / ours[one].exitSpeedMPerS - 1) < 1e-7)) {
      throw new Error(`${one}: scipy finds ${theirs} m/s, Loftmark ${ours[one].exitSpeedMPerS} m/s.`);
    }
  }
  return {
    title: `Predicting: compressed-air ram, six published cases, relative tolerance ${REL_TOL}`,
    figures: [
      shotFigure(),
      ...names.flatMap((one): Figure[] => {
        const { medianMs, p95Ms, steps } = ours[one];
        const firstMs = firsts.get(one)!;
        const theirs = scipy?.cases[one].ms;
        return [
          {
            what: `${one}, ${steps} steps, processor time`,
            value: `${medianMs.toFixed(2)} ms (95th percentile ${p95Ms.toFixed(2)} ms)`,
            target: targetFor(medianMs, MOST_MS),
          },
          ...(theirs === undefined
            ? []
            : [
                {
                  what: "  ratio to scipy's solve_ivp",
                  value: `${ratio(medianMs / theirs)} (scipy ${ms(theirs)})`,
                  target: null,
                },
              ]),
          {
            what: "  first of a process, wall time",
            value: spread(firstMs, ms),
            target: targetFor(median(firstMs), MOST_FIRST_MS),
          },
        ];
      }),
    ],
    notes: [
      `${WARM_RUNS} runs once settled; the first of a process is in ${rounds} processes each, nothing compiled yet`,
      scipy === null
        ? "no comparison with scipy: there is no python3 with scipy here"
        : `scipy ${scipy.scipy}, DOP853 in Python, same equations, tolerances and events, processor time; its exit speeds agree to 1e-7`,
    ],
  };
}

/** The example's shot with the uncertainty of every input, as the Model heading predicts it after an edit. */
function shotFigure(): Figure {
  const session = exampleSession(1);
  const times = Array.from({ length: SHOT_RUNS }, () => {
    const from = performance.now();
    predictShot(session, session.shots[0]!);
    return performance.now() - from;
  });
  return {
    what: "the example's shot with its uncertainties, wall time",
    value: spread(times, ms),
    target: targetFor(median(times), MOST_SHOT_MS),
  };
}

function targetFor(tookMs: number, mostMs: number): Figure["target"] {
  return { text: `< ${mostMs} ms`, met: tookMs < mostMs };
}
