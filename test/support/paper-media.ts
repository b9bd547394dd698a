import { readFile } from "node:fs/promises";
import { basename } from "node:path";
import type { Media } from "../../src/main/media/media.ts";
import { FaultError } from "../../src/shared/quantity/notice.ts";
import type { ClipFacts } from "../../src/shared/session/clip-facts.ts";

/**
 * Media without ffmpeg, for tests of what asks for it: a clip is a text file that says "clip of N frames",
 * and may go on with zeros. Frames are the text "NAME INDEX SIZE". `calls` notes what was asked; `extract`
 * runs until released or stopped.
 */
export function paperMedia() {
  const calls: string[] = [];
  const waiting: (() => void)[] = [];
  const media: Media = {
    async inspect(path) {
      calls.push(`inspect ${basename(path)}`);
      return paperFacts(path, await readFile(path, "utf8"));
    },
    async extract(path, _facts, from, to, size, options) {
      calls.push(`extract ${basename(path)} ${from}-${to} ${size}`);
      options?.onProgress?.({ fraction: 0.25, doing: "Taking frames" });
      await new Promise<void>((resolve, reject) => {
        waiting.push(resolve);
        options?.signal?.addEventListener("abort", () => {
          calls.push("stopped");
          reject(new FaultError("cancelled", "Stopped.", "Start again."));
        });
      });
    },
    async damage() {
      return [];
    },
    async differences(path, facts) {
      calls.push(`differences ${basename(path)}`);
      return facts.pts.map((_, i) => (i === 0 ? null : 10 + i));
    },
    async *grey(path, facts, from, to) {
      calls.push(`grey ${basename(path)} ${from}-${to}`);
      const step = to < from ? -1 : 1;
      for (let index = from; index !== to + step; index += step) {
        const data = new Uint8Array(facts.width * facts.height);
        yield { index, image: { data, width: facts.width, height: facts.height } };
      }
    },
    async frame(path, _facts, index, size) {
      calls.push(`frame ${basename(path)} ${index} ${size}`);
      return new TextEncoder().encode(`${basename(path)} ${index} ${size}`);
    },
  };
  const release = () => {
    for (const resolve of waiting.splice(0)) resolve();
  };
  return { media, calls, release };
}

function paperFacts(path: string, text: string): ClipFacts {
  const count = Number(/^clip of (\d+) frames\0*$/.exec(text)?.[1]);
  if (!(count > 0))
    throw new FaultError("not-a-video", `${basename(path)} is no video.`, "Pick another file.");
  return {
    name: basename(path),
    bytes: text.length,
    modifiedMs: 0,
    container: "paper",
    codec: "text",
    pixelFormat: "yuv420p",
    bitDepth: 8,
    codedWidth: 1280,
    codedHeight: 720,
    pixelAspect: [1, 1],
    rotationDeg: 0,
    width: 1280,
    height: 720,
    durationS: count / 30,
    playbackRateHz: 30,
    captureRateHz: null,
    constantRate: true,
    timeBase: [1, 30],
    pts: Array.from({ length: count }, (_, i) => i),
    keyFrames: [0],
    startS: 0,
  };
}
