import { join } from "node:path";
import { type BenchPart, type Figure, median, ms, spread } from "./figures.ts";
import { benchRam } from "./ram.bench.ts";
import { runProgram } from "./run-program.ts";

const MOST_MS = 20;
const WARM_RUNS = 200;

/** Times the six published ram cases: settled in a process that goes on, and the first of a fresh one. */
export async function benchPredict(rounds: number): Promise<BenchPart> {
  const program = join(import.meta.dirname, "ram-once.js");
  const firsts = new Map<string, number[]>();
  const { name, figures } = benchRam(WARM_RUNS);
  for (let round = 0; round < rounds; round++) {
    for (const one of Object.keys(figures)) {
      const tookMs = Number(await runProgram(process.execPath, [program, one]));
      firsts.set(one, [...(firsts.get(one) ?? []), tookMs]);
    }
  }
  return {
    title: `Predicting: ${name}`,
    figures: Object.entries(figures).flatMap(([one, { medianMs, p95Ms, steps }]) => {
      const firstMs = firsts.get(one)!;
      return [
        {
          what: `${one}, ${steps} steps`,
          value: `${ms(medianMs)} (95th percentile ${ms(p95Ms)})`,
          target: targetFor(medianMs),
        },
        { what: "  first of a process", value: spread(firstMs, ms), target: targetFor(median(firstMs)) },
      ];
    }),
    notes: [
      `${WARM_RUNS} runs after the first; the first of a process is in ${rounds} processes each, nothing compiled yet`,
    ],
  };
}

function targetFor(tookMs: number): Figure["target"] {
  return { text: `< ${MOST_MS} ms`, met: tookMs < MOST_MS };
}
