import { exampleSession } from "../../src/main/example/example-session.ts";
import { measureShot } from "../../src/shared/measure/measure-shot.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";
import { KERNEL, kernelMs } from "./kernel.ts";

const SEED = 1;
const KERNEL_RUNS = 10;

/**
 * Measures the shot of the example launch in full (motion, prediction, comparison), by turns with a fixed
 * reference kernel: the ratio tells later versions apart on machines of different speed.
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
  kernelMs(1);
  const pairs = Array.from({ length: rounds }, () => {
    const ours = measure();
    return { ours, kernel: kernelMs(KERNEL_RUNS) };
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
      `the kernel is ${KERNEL}: ${ms(median(kernels))} here, ${ratio(Math.max(...kernels) / Math.min(...kernels))} times between its fastest and slowest round`,
    ],
  };
}
