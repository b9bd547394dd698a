import { readFile } from "node:fs/promises";
import { basename, resolve } from "node:path";
import { perSecond } from "../../shared/curve/curve-units.ts";
import {
  type CurveEstimate,
  type CurveOptions,
  type CurveSample,
  type estimateCurve,
  LEAST_SAMPLES,
} from "../../shared/curve/estimate-curve.ts";
import { type CurveLog, readCurveCsv } from "../../shared/curve/read-curve-csv.ts";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import { stackOfCurve } from "../../shared/figures/stack-of-curve.ts";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type Cell, csvText } from "../../shared/results/csv.ts";
import { processWorkers } from "../jobs/process-workers.ts";
import { writeAtomically } from "../store/atomic-write.ts";
import { diskFault } from "../store/disk-fault.ts";
import { FIGURE_FONTS } from "../write-up/report-figures.ts";
import { curveWords } from "./curve-words.ts";
import { UsageError, type Verb } from "./verb.ts";

const ERRORS = ["auto", "white", "lasting"] as const;

export const curveVerb: Verb = {
  name: "curve",
  usage: "FILE.csv [--value COLUMN] [--out FILE.csv] [--figure FILE.svg] ...",
  summary: "Finds value, rate and acceleration of one column against time, and where it changes abruptly.",
  details: [
    "FILE.csv               columns time, value and, where known, standard uncertainty; units in the headers",
    "--time COLUMN          by its header or its number; by default the one called time, or the first",
    "--value COLUMN         by default the first other one",
    "--uncertainty COLUMN   by default the one called u or uncertainty, where there is one",
    "--u NUMBER             one standard uncertainty for all values; else it is found from their scatter",
    "--errors KIND          white, lasting (correlated from sample to sample) or auto, the default",
    "--smooth               looks for no change points",
    "--out FILE.csv         writes the table there, and says in words what was found",
    "--figure FILE.svg      draws the three curves with their bands",
  ],
  operands: [1, 1],
  options: {
    time: { type: "string" },
    value: { type: "string" },
    uncertainty: { type: "string" },
    u: { type: "string" },
    errors: { type: "string" },
    smooth: { type: "boolean" },
    out: { type: "string" },
    figure: { type: "string" },
  },
  async run({ operands, options, json, terminal, onProgress }) {
    const text = (name: string) => (typeof options[name] === "string" ? options[name] : undefined);
    const u = uncertaintyOf(text("u"), text("uncertainty"));
    const asked: CurveOptions = { errors: errorsOf(text("errors")), changes: options.smooth !== true };
    const path = resolve(terminal.cwd, elementAt(operands, 0));
    const columns = Object.fromEntries(
      ["time", "value", "uncertainty"].flatMap((name) =>
        text(name) === undefined ? [] : [[name, text(name)]],
      ),
    );
    const log = readCurveCsv(await contentOf(path), columns);
    const samples = u === null ? log.samples : log.samples.map(({ time, value }) => ({ time, value, u }));
    onProgress({ fraction: 0, doing: `${samples.length} samples` });
    const task = { kind: "curve", samples, options: asked } as const;
    const estimate = estimated(await processWorkers().run(null, task, { signal: terminal.signal }));
    const figure = text("figure");
    if (figure !== undefined)
      await written(resolve(terminal.cwd, figure), svgOf(path, log, samples, estimate));
    const out = text("out");
    if (out !== undefined) await written(resolve(terminal.cwd, out), tableOf(log, estimate));
    const words = curveWords(log, estimate);
    if (json) {
      const units = {
        time: "s",
        value: log.unit,
        rate: perSecond(log.unit, 1),
        acceleration: perSecond(log.unit, 2),
      };
      const { samples: _, ...read } = log;
      terminal.out(`${JSON.stringify({ file: basename(path), ...read, units, ...estimate }, null, 2)}\n`);
    } else if (out === undefined) {
      terminal.out(tableOf(log, estimate));
      terminal.err(words);
    } else {
      terminal.out(words);
    }
    return 0;
  },
};

function estimated(found: ReturnType<typeof estimateCurve>): CurveEstimate {
  if (found.ok) return found.value;
  if (found.code === "constant") {
    throw new FaultError(
      "curve-constant",
      "All values are equal, so their scatter does not tell how uncertain they are.",
      "State their standard uncertainty with --u, or log with more digits.",
    );
  }
  const { distinct, needed } = found.numbers;
  throw new FaultError(
    "curve-few",
    `The file has values at ${distinct} different times; ${needed} are needed.`,
    needed === LEAST_SAMPLES
      ? "Log for longer or faster."
      : `Log for longer or faster, or state the standard uncertainty with --u: ${LEAST_SAMPLES} will then do.`,
  );
}

/** One row a time; a cell is empty where the samples do not determine it. */
function tableOf({ name, unit }: CurveLog, { points }: CurveEstimate): string {
  const units = [unit, perSecond(unit, 1), perSecond(unit, 2)];
  const header = [name, "rate", "acceleration"].flatMap((words, i) => {
    const inUnit = units[i] === "" ? "" : ` (${units[i]})`;
    return [`${words}${inUnit}`, `u of ${words}${inUnit}`];
  });
  const rows = points.map(({ time, value, rate, acceleration }) => [
    time,
    ...[value, rate, acceleration].flatMap((one): Cell[] => [one?.value ?? null, one?.u ?? null]),
  ]);
  return csvText(["time (s)", ...header], rows);
}

function svgOf(
  path: string,
  log: CurveLog,
  samples: readonly CurveSample[],
  estimate: CurveEstimate,
): string {
  const name = `${log.name.slice(0, 1).toUpperCase()}${log.name.slice(1)}`;
  const stack = stackOfCurve({ id: basename(path), name, unit: log.unit }, samples, estimate);
  const look = { theme: "print", width: 720, height: 640, fontFamily: FIGURE_FONTS, caption: true } as const;
  return `${figureSvg(stack, look)}\n`;
}

function uncertaintyOf(given: string | undefined, column: string | undefined): number | null {
  if (given === undefined) return null;
  if (column !== undefined)
    throw new UsageError("--u and --uncertainty say the same thing; give one of them.");
  const u = given.trim() === "" ? Number.NaN : Number(given);
  if (u > 0 && Number.isFinite(u)) return u;
  throw new UsageError(`--u takes a number above 0, not "${given}".`);
}

function errorsOf(given: string | undefined): (typeof ERRORS)[number] {
  const found = ERRORS.find((one) => one === (given ?? "auto"));
  if (found !== undefined) return found;
  throw new UsageError(`--errors takes ${ERRORS.join(", ")}, not "${given}".`);
}

async function contentOf(path: string): Promise<string> {
  try {
    return await readFile(path, "utf8");
  } catch (error) {
    throw diskFault(error, `The file "${basename(path)}" could not be read`);
  }
}

async function written(path: string, text: string): Promise<void> {
  try {
    await writeAtomically(path, text);
  } catch (error) {
    throw diskFault(error, `The file "${basename(path)}" could not be written`);
  }
}
