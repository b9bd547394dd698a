import { join } from "node:path";
import type { Browser } from "playwright-core";
import type { Shot } from "../../src/shared/session/schema.ts";
import { type BenchField, inNewFolder } from "./field.ts";
import { type BenchPart, type Figure, median, ms, ratio, spread } from "./figures.ts";
import { runProgram } from "./run-program.ts";
import { timed } from "./stopwatch.ts";
import { firstPicture, inNewWindow, markedShot, newShot, type Opening } from "./window.ts";

const MOST_MS = 1500;
const DEEP = 200; // frames behind their key frame that a picture in the middle of the clip stands

/**
 * Opens the window on a shot nobody has looked at before, until its first full-size picture is on screen, by
 * turns with the bare ffmpeg command for the same picture.
 */
export async function benchOpen(field: BenchField, browser: Browser): Promise<BenchPart> {
  const start = await opened(field, browser, newShot(), 0);
  const middle = await opened(field, browser, markedShot(DEEP - 10, DEEP + 10), DEEP);
  const most = { text: `<= ${MOST_MS} ms`, met: median(start.map(({ ours }) => ours.shownMs)) <= MOST_MS };
  return {
    title: "Opening a clip until its first full-size picture is on screen, Chromium, empty caches",
    figures: [
      ...figuresOf("first frame of the clip", start, most),
      ...figuresOf(`a marked shot, ${DEEP} frames behind a key frame`, middle, null),
    ],
    notes: [
      `${start.length} rounds by turns; 1080p, ${(field.facts.bytes / 1e6).toFixed(0)} MB, ${field.facts.pts.length} frames`,
      "from navigation: page, session, list of every frame, extraction, decoding, drawing; the clip is in the system's file cache",
    ],
  };
}

interface Pair {
  readonly ours: Opening;
  readonly bareMs: number;
}

async function opened(
  field: BenchField,
  browser: Browser,
  shot: Shot,
  frame: number,
): Promise<readonly Pair[]> {
  const pairs: Pair[] = [];
  for (let round = 0; round <= field.rounds; round++) {
    const bareMs = await inNewFolder(async (folder) => {
      const command = bareCommand(field, frame, join(folder, "one.jpg"));
      return (await timed(() => runProgram(field.ffmpegPath, command))).wallMs;
    });
    const ours = await inNewWindow(field, browser, shot, firstPicture);
    if (round > 0) pairs.push({ ours, bareMs }); // round 0 warms the browser and the file cache
  }
  return pairs;
}

function figuresOf(what: string, pairs: readonly Pair[], target: Figure["target"]): readonly Figure[] {
  const [ours, ratios] = [
    pairs.map(({ ours }) => ours.shownMs),
    pairs.map(({ ours, bareMs }) => ours.shownMs / bareMs),
  ];
  return [
    { what, value: spread(ours, ms), target },
    {
      what: "  of that: until the clip is known, its picture made, drawn",
      value: [
        median(pairs.map(({ ours }) => ours.askedMs)),
        median(pairs.map(({ ours }) => ours.cameMs - ours.askedMs)),
        median(pairs.map(({ ours }) => ours.shownMs - ours.cameMs)),
      ]
        .map(ms)
        .join(" + "),
      target: null,
    },
    { what: "  in bare ffmpeg commands for that picture", value: spread(ratios, ratio), target: null },
  ];
}

function bareCommand({ clip, facts }: BenchField, frame: number, file: string): readonly string[] {
  const [num, den] = facts.timeBase;
  const seconds = ((facts.pts[frame] ?? 0) * num) / den - facts.startS;
  return [
    ...[
      "-hide_banner",
      "-loglevel",
      "error",
      "-nostdin",
      ...(frame === 0 ? [] : ["-ss", seconds.toFixed(6)]),
    ],
    ...["-i", clip, "-map", "0:V:0", "-frames:v", "1", "-q:v", "2", "-pix_fmt", "yuvj420p", file],
  ];
}
