import { exampleSession } from "../../src/shared/example/example-session.ts";
import { measureShot } from "../../src/shared/shot/measure-shot.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";

const SEED = 1;
const KERNEL_SIZE = 300;
const KERNEL_RUNS = 10;

/**
 * Measures the shot of the example launch in full (motion, prediction, comparison), by turns with a fixed reference
 * kernel: the ratio tells later versions apart on machines of different speed.
 * @throws Error when a part of the result is missing: then something else than a full measurement was timed
 */
export function benchMeasure(rounds: number): BenchPart {
  const session = exampleSession(SEED);
  const shot = session.shots[0]!;
  const measure = () => {
    const from = performance.now();
    const { measurement, prediction, comparison } = measureShot(session, shot.id, null);
    const tookMs = performance.now() - from;
    if (measurement === null || prediction === null || comparison === null) {
      throw new Error("The example's shot was not measured in full.");
    }
    return tookMs;
  };
  const firstMs = measure();
  kernel();
  const pairs = Array.from({ length: rounds }, () => {
    const ours = measure();
    const from = performance.now();
    for (let run = 0; run < KERNEL_RUNS; run++) kernel();
    return { ours, kernel: (performance.now() - from) / KERNEL_RUNS };
  });
  const [ours, kernels] = [pairs.map((pair) => pair.ours), pairs.map((pair) => pair.kernel)];
  return {
    title: "Measuring the example's shot: motion, prediction and comparison",
    figures: [
      {
        what: "in reference kernels",
        value: spread(
          pairs.map((pair) => pair.ours / pair.kernel),
          (value) => value.toFixed(1),
        ),
        target: null,
      },
      { what: "a measurement, this machine now", value: spread(ours, ms), target: null },
      { what: "the first, nothing compiled yet", value: ms(firstMs), target: null },
    ],
    notes: [
      `${rounds} rounds by turns; ${shot.marks.length} marks`,
      `the kernel is a dense Cholesky factor of order ${KERNEL_SIZE}: ${ms(median(kernels))} here, ${ratio(Math.max(...kernels) / Math.min(...kernels))} times between its fastest and slowest round`,
    ],
  };
}

/**
 * Factors A = L L^T for the fixed matrix A_ij = exp(-|i - j| / 20) + [i = j], row by row. Written out here so that it stays the
 * same work whatever becomes of the product's own algebra.
 * @throws Error when the factor is not that of a positive definite matrix: something is wrong with the kernel
 */
function kernel(): void {
  const n = KERNEL_SIZE;
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = Math.exp((j - i) / 20) + (i === j ? 1 : 0);
      for (let k = 0; k < j; k++) sum -= factor[i * n + k]! * factor[j * n + k]!;
      factor[i * n + j] = i === j ? Math.sqrt(sum) : sum / factor[j * n + j]!;
    }
  }
  if (!(factor[n * n - 1]! > 0)) throw new Error("The reference kernel failed.");
}
