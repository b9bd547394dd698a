import { readdir } from "node:fs/promises";
import { resolve } from "node:path";
import { EXAMPLE_VARIANTS } from "../example/example-variant.ts";
import { writeExample } from "../example/write-example.ts";
import { requireFfmpeg } from "../host/start-of-day.ts";
import { UsageError, type Verb } from "./verb.ts";

export const exampleVerb: Verb = {
  name: "example",
  usage: "--out DIR [--seed N] [--variant NAME]",
  summary: "Writes the example launch: a clip drawn by Loftmark, its session and its true values.",
  details: [
    "--out DIR   folder to write into, made if missing; nothing in it is overwritten",
    "--seed N    whole number that decides the errors of the marks; 1 by default",
    "--variant NAME   how the same launch was filmed; plain by default",
    "  plain       still camera, perfect lens, square to the flight",
    "  lens        a lens that bends straight lines, with its profile",
    "  turned      flight turned 15° away from the picture",
    "  shutter     rows read one after another, in 6 ms",
    "  shake       held in the hand, with posts in view",
    "  hand        held in the hand, with nothing set up to take that out",
    "  pan         swung after the airframe by 9°, with nothing set up to take that out",
    "  repeats     every seventh frame shows the one before it again",
    "  irregular   frames at uneven times, some lost; the file plays in real time",
    "  all         everything together but hand and pan",
  ],
  operands: [0, 0],
  options: { out: { type: "string" }, seed: { type: "string" }, variant: { type: "string" } },
  async run({ options, json, terminal, onProgress }) {
    if (typeof options.out !== "string" || options.out === "")
      throw new UsageError("Say where to: --out DIR.");
    const directory = resolve(terminal.cwd, options.out);
    const seed = options.seed === undefined ? undefined : Number(options.seed);
    if (seed !== undefined && !(Number.isSafeInteger(seed) && seed >= 0)) {
      throw new UsageError(`--seed takes a whole number from 0, not "${options.seed}".`);
    }
    const variant = EXAMPLE_VARIANTS.find((one) => one === (options.variant ?? "plain"));
    if (variant === undefined) {
      throw new UsageError(`--variant takes ${EXAMPLE_VARIANTS.join(", ")}, not "${options.variant}".`);
    }
    const ffmpegPath = requireFfmpeg();
    await writeExample(directory, {
      ffmpegPath,
      ...(seed !== undefined && { seed }),
      variant,
      signal: terminal.signal,
      onProgress,
    });
    const files = (await readdir(directory)).sort();
    terminal.out(
      json
        ? `${JSON.stringify({ directory, files }, null, 2)}\n`
        : `The example launch is in ${directory}\n${files.map((file) => `  ${file}\n`).join("")}`,
    );
    return 0;
  },
};
