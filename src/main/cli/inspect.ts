import { basename, dirname, resolve } from "node:path";
import { elementAt } from "../../shared/quantity/known-element.ts";
import { type ClipFacts, timestampsS } from "../../shared/session/clip-facts.ts";
import { pictureCheckWords } from "../../shared/session/picture-checks.ts";
import { personDirs, requireFfmpeg } from "../host/start-of-day.ts";
import { createMedia } from "../media/create-media.ts";
import { openFieldFolder } from "../store/field-folder.ts";
import { table } from "./table.ts";
import type { Verb } from "./verb.ts";

export const inspectVerb: Verb = {
  name: "inspect",
  usage: "CLIP",
  summary: "Says what a clip is: picture, rates, and the time of every frame.",
  details: ["--json lists the exact timestamp of every frame, in ticks of the time base"],
  operands: [1, 1],
  options: {},
  async run({ operands, json, terminal, onProgress }) {
    const path = resolve(terminal.cwd, elementAt(operands, 0));
    const folder = await openFieldFolder(dirname(path));
    const clip = await folder.findClip(basename(path));
    const media = createMedia({ ffmpegPath: requireFfmpeg(), cacheDir: personDirs().cacheDir });
    const facts = await media.inspect(clip.path, { signal: terminal.signal, onProgress });
    terminal.out(json ? `${JSON.stringify(facts)}\n` : clipWords(facts));
    return 0;
  },
};

function clipWords(facts: ClipFacts): string {
  const times = timestampsS(facts);
  const steps = times.slice(1).map((time, i) => time - elementAt(times, i));
  const ms = (seconds: number) => `${(seconds * 1000).toFixed(3)} ms`;
  const [pixelWidth, pixelHeight] = facts.pixelAspect;
  const coded = `${facts.codedWidth} × ${facts.codedHeight}, pixels ${pixelWidth}:${pixelHeight}, turned ${facts.rotationDeg}°`;
  return `${facts.name}\n${table([
    ["Picture", `${facts.width} × ${facts.height} (stored ${coded})`],
    ["Coded as", `${facts.codec}, ${facts.pixelFormat}, ${facts.bitDepth} bits, in ${facts.container}`],
    ["Damage", pictureCheckWords(facts)],
    ["Frames", `${facts.pts.length}, of which ${facts.keyFrames.length} decode on their own`],
    ["Duration", `${facts.durationS.toFixed(3)} s as played`],
    [
      "Playback rate",
      `${Number(facts.playbackRateHz.toFixed(4))} Hz${facts.constantRate ? "" : ", not constant"}`,
    ],
    [
      "Capture rate",
      facts.captureRateHz === null
        ? "not stated in the file"
        : `${facts.captureRateHz} Hz, as the file states`,
    ],
    ...(steps.length === 0
      ? []
      : [["Frame to frame", `${ms(Math.min(...steps))} to ${ms(Math.max(...steps))} as played`]]),
  ])}`;
}
