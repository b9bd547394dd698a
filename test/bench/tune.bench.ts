import { join } from "node:path";
import { type MeasuredRam, ramInputsOf, uncertainInputs } from "../../src/shared/launch/ram/ram-measured.ts";
import { inputAt } from "../../src/shared/predict/launcher-in-use.ts";
import { createChance } from "../../src/shared/quantity/chance.ts";
import type { Measured } from "../../src/shared/quantity/measured.ts";
import { unwrap } from "../../src/shared/quantity/result.ts";
import { tuneLauncher } from "../../src/shared/tune/tune-launcher.ts";
import type { ShotToTune } from "../../src/shared/tune/tuned-shot.ts";
import { PLACING_SD } from "../../src/shared/tune/unknowns.ts";
import { madeShots, STATED } from "../shared/tune/made-shots.ts";
import { type BenchPart, median, ms, ratio, spread } from "./figures.ts";
import { python } from "./ram-scipy.ts";

const PARAMETERS = ["valve.conductance", "slidingN", "openingS", "viscousNsPerM", "deadVolumeM3"] as const;
const PRESSURES = [2.5e5, 2.6e5, 2.9e5, 3.2e5, 3.4e5, 3.6e5, 3.9e5, 4.1e5, 4.3e5, 4.5e5];
const MOST_MS = 3000;
const SCIPY_RUNS = 3;

interface ScipyTuning {
  readonly scipy: string;
  readonly ms: number;
  readonly values: readonly number[];
  readonly evaluations: number;
}

/**
 * Times tuning five inputs on ten shots: with every other input uncertain too, as a person does it, and with
 * the others exact, which is the problem scipy's least_squares is given where it is installed.
 * @throws Error when scipy finds other values
 */
export async function benchTune(rounds: number): Promise<BenchPart> {
  const whole = madeShots(createChance(7), PRESSURES).shots;
  const bare = bareShots();
  const [wholeMs, bareMs] = [whole, bare.shots].map((shots) => timed(shots, rounds)) as [number[], number[]];
  const theirs = await scipyTuning(bare);
  const ours = unwrap(tuneLauncher(bare.shots, PARAMETERS));
  if (theirs !== null) agree(ours, theirs.values);
  const points = bare.shots.reduce((sum, { track }) => sum + track.points.length, 0);
  const took = median(wholeMs);
  return {
    title: "Tuning: five inputs of a compressed-air ram on ten shots, processor time",
    figures: [
      {
        what: "every other input, gauge, rod and rate uncertain too",
        value: spread(wholeMs, ms),
        target: { text: `< ${MOST_MS} ms`, met: took < MOST_MS },
      },
      { what: "all else exact", value: spread(bareMs, ms), target: null },
      ...(theirs === null
        ? []
        : [
            {
              what: "  ratio to scipy's least_squares",
              value: `${ratio(median(bareMs) / theirs.ms)} (scipy ${ms(theirs.ms)})`,
              target: null,
            },
          ]),
    ],
    notes: [
      `${points} frames of the push and the flight after it; ${rounds} runs after a first`,
      theirs === null
        ? "no comparison with scipy: there is no python3 with scipy here"
        : `scipy ${theirs.scipy}, trf with the same derivatives, DOP853 in Python, ${theirs.evaluations} predictions; its values agree to a tenth of their u`,
    ],
  };
}

function timed(shots: readonly ShotToTune[], rounds: number): number[] {
  unwrap(tuneLauncher(shots, PARAMETERS));
  return Array.from({ length: rounds }, () => {
    const from = process.cpuUsage();
    unwrap(tuneLauncher(shots, PARAMETERS));
    const { user, system } = process.cpuUsage(from);
    return (user + system) / 1000;
  });
}

interface BareShots {
  readonly stated: typeof STATED;
  readonly shots: readonly ShotToTune[];
}

/** The same ten shots with everything but the five inputs exact, and no error in common. */
function bareShots(): BareShots {
  const keep: readonly string[] = PARAMETERS;
  // A leak that is stated to be none is no unknown of its own.
  const stated = exact({ ...STATED, leak: { value: 0, u: 0 } }, keep) as typeof STATED;
  const { shots } = madeShots(createChance(7), PRESSURES, { stated, exactly: true });
  return { stated, shots };
}

/** A copy with every u at 0 but those of the inputs at the paths to keep. */
function exact(node: unknown, keep: readonly string[], path = ""): unknown {
  if (typeof node !== "object" || node === null) return node;
  if ("value" in node && "u" in node) return keep.includes(path) ? node : { ...node, u: 0 };
  return Object.fromEntries(
    Object.entries(node).map(([key, inside]) => [
      key,
      exact(inside, keep, path === "" ? key : `${path}.${key}`),
    ]),
  );
}

async function scipyTuning({ stated, shots }: BareShots): Promise<ScipyTuning | null> {
  if ((await python(["-c", "import numpy, scipy.optimize, scipy.integrate"], "")) === null) return null;
  // The program is in out/bench/program.
  const script = join(import.meta.dirname, "..", "..", "..", "tools", "reference", "tune_scipy.py");
  const parameters = PARAMETERS.map((path) => ({ path, ...(inputAt(stated as never, path) as Measured) }));
  const asked = {
    relTol: 1e-7,
    runs: SCIPY_RUNS,
    parameters,
    sd: PLACING_SD,
    shots: shots.map(({ track, model }) => {
      const gaugePressurePa = model.inputs.find(({ name }) => name === "gaugePressurePa")!;
      const ram: MeasuredRam = { ...stated, gaugePressurePa };
      return {
        inputs: ramInputsOf(
          ram,
          uncertainInputs(ram).map(({ value }) => value),
        ),
        releaseS: track.releaseS,
        points: track.points.map(({ timeS, travelM, u }) => [timeS, travelM, u]),
      };
    }),
  };
  const answer = await python([script], JSON.stringify(asked));
  if (answer === null) throw new Error(`${script} failed.`);
  return JSON.parse(answer) as ScipyTuning;
}

function agree(
  { inputs }: { readonly inputs: readonly { name: string; tuned: Measured }[] },
  theirs: readonly number[],
) {
  PARAMETERS.forEach((path, i) => {
    const { tuned } = inputs.find(({ name }) => name === path)!;
    if (!(Math.abs(tuned.value - theirs[i]!) < 0.1 * tuned.u)) {
      throw new Error(`${path}: scipy finds ${theirs[i]}, Loftmark ${tuned.value} ± ${tuned.u}.`);
    }
  });
}
