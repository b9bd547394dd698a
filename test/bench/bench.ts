import { cpus, loadavg, totalmem } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import type { Browser } from "playwright-core";
import { createMedia } from "../../src/main/media/create-media.ts";
import { checkFfmpegVersion } from "../../src/main/media/ffmpeg-version.ts";
import { findChromium, findFfmpeg } from "../../tools/find-program.mjs";
import { benchClip } from "./bench-clip.ts";
import { benchBusy } from "./busy.bench.ts";
import { benchCurve } from "./curve.bench.ts";
import { benchDay } from "./day.bench.ts";
import { benchExtract } from "./extract.bench.ts";
import { type BenchField, inNewFolder } from "./field.ts";
import { type BenchPart, partText } from "./figures.ts";
import { benchFit } from "./fit.bench.ts";
import { benchFollow } from "./follow.bench.ts";
import { benchFollowClip } from "./follow-clip.bench.ts";
import { benchHard } from "./hard.bench.ts";
import { benchMeasure } from "./measure.bench.ts";
import { benchOpen } from "./open.bench.ts";
import { benchPredict } from "./predict.bench.ts";
import { benchPropose } from "./propose.bench.ts";
import { benchSave } from "./save.bench.ts";
import { benchStep } from "./step.bench.ts";
import { benchTune } from "./tune.bench.ts";
import { openBrowser } from "./window.ts";

/*
 * The bench as a program: runs the parts one after the other, nothing beside them, and prints one table.
 * Bundled into out/bench/program by tools/bench.mjs.
 */
const PARTS = [
  "predict",
  "tune",
  "measure",
  "fit",
  "curve",
  "follow",
  "follow-clip",
  "hard",
  "propose",
  "busy",
  "save",
  "extract",
  "open",
  "step",
  "day",
] as const;
const WITH_CLIP: readonly PartName[] = ["extract", "open", "step"];
type PartName = (typeof PARTS)[number];
const LEAST_ROUNDS = 5;

interface Asked {
  readonly rounds: number;
  readonly parts: readonly PartName[];
}

try {
  await run(asked());
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  console.error("The bench could not be run to its end.");
  process.exitCode = 1;
}

async function run({ rounds, parts }: Asked): Promise<void> {
  const [ffmpeg, chromium] = [findFfmpeg(), findChromium()];
  if (ffmpeg === null || chromium === null) throw new Error("The bench needs ffmpeg and Chromium.");
  const out = join(import.meta.dirname, "..");
  const needsClip = parts.some((part) => WITH_CLIP.includes(part));
  if (needsClip) say("drawing the clip, unless it is there already");
  const clip = needsClip ? await benchClip(ffmpeg.path, out) : "";
  const facts = needsClip ? await factsOf(ffmpeg.path, clip) : null;
  let browser: Browser | null = null;
  const window = async () => {
    browser ??= await openBrowser(chromium.path);
    return browser;
  };
  const rendererDir = join(out, "..", "renderer");
  const field = () => {
    if (facts === null) throw new Error("This part needs the clip.");
    return { ffmpegPath: ffmpeg.path, chromiumPath: chromium.path, clip, facts, rendererDir, rounds };
  };
  const work: Record<PartName, () => BenchPart | Promise<BenchPart>> = {
    predict: () => benchPredict(rounds),
    tune: () => benchTune(rounds),
    measure: () => benchMeasure(rounds),
    fit: async () => benchFit({ ffmpegPath: ffmpeg.path, rendererDir, rounds }, await window()),
    curve: () => benchCurve(rounds),
    follow: () => benchFollow(ffmpeg.path),
    "follow-clip": () => benchFollowClip(ffmpeg.path, out, rounds),
    hard: () => benchHard(ffmpeg.path),
    propose: () => benchPropose(),
    busy: () => benchBusy(join(out, "..", "main", "cli.js"), ffmpeg.path, rounds),
    save: () => benchSave(rounds),
    extract: () => benchExtract(field()),
    open: async () => benchOpen(field(), await window()),
    step: async () => benchStep(field(), await window()),
    day: async () =>
      benchDay(
        { program: join(out, "..", "main", "cli.js"), ffmpegPath: ffmpeg.path, rendererDir, rounds },
        await window(),
      ),
  };
  const done: BenchPart[] = [];
  const loadBefore = loadavg();
  try {
    for (const part of PARTS.filter((one) => parts.includes(one))) {
      say(part);
      done.push(await work[part]());
    }
  } finally {
    await (browser as Browser | null)?.close();
  }
  const { text } = await checkFfmpegVersion(ffmpeg.path);
  const last = browser as Browser | null;
  const machine = [
    `${cpus().length} cores (${cpus()[0]?.model.trim() ?? "unknown"}), ${(totalmem() / 2 ** 30).toFixed(0)} GB, ${process.platform}`,
    `Node ${process.versions.node}, ffmpeg ${text}${last === null ? "" : `, Chromium ${last.version()}`}`,
    `load average ${loadText(loadBefore)} at the start, ${loadText(loadavg())} at the end; median (smallest to largest)`,
  ];
  console.log(`\n${machine.join("\n")}\n\n${done.map(partText).join("\n")}\n${verdict(done)}`);
}

/** The options of the command line. @throws Error when one is wrong */
function asked(): Asked {
  const { values } = parseArgs({
    options: { rounds: { type: "string" }, only: { type: "string", multiple: true } },
  });
  const rounds = Number(values.rounds ?? LEAST_ROUNDS);
  if (!Number.isInteger(rounds) || rounds < 1) throw new Error("--rounds takes a whole number from 1 on.");
  const parts = values.only ?? PARTS;
  const wrong = parts.find((part) => !PARTS.includes(part as PartName));
  if (wrong !== undefined) throw new Error(`--only takes ${PARTS.join(", ")}; got "${wrong}".`);
  return { rounds, parts: parts as readonly PartName[] };
}

function factsOf(ffmpegPath: string, clip: string): Promise<BenchField["facts"]> {
  return inNewFolder((cacheDir) => createMedia({ ffmpegPath, cacheDir }).inspect(clip));
}

function verdict(parts: readonly BenchPart[]): string {
  const targets = parts.flatMap(({ figures }) => figures.flatMap(({ target }) => target ?? []));
  return `${targets.filter(({ met }) => met).length} of ${targets.length} targets met.`;
}

function loadText(load: readonly number[]): string {
  return load.map((one) => one.toFixed(1)).join(" ");
}

function say(what: string): void {
  console.error(`bench: ${what}…`);
}
