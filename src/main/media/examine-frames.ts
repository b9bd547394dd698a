import { basename } from "node:path";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import { decodeReport, type Finding, framesDone, TELLING } from "./decode-report.ts";
import { parsePackets } from "./frame-list.ts";
import { passthroughOptions } from "./list-clip.ts";
import { framesNotExact } from "./media-faults.ts";
import type { FrameRun } from "./pack-plan.ts";
import type { Ffmpeg } from "./run-ffmpeg.ts";
import { spoiltFrames } from "./spoilt-frames.ts";

/** A clip to be examined. */
export interface Examined {
  readonly path: string;
  readonly facts: ClipFacts;
  readonly signal: AbortSignal;
  readonly urgent: boolean;
  /** Frames done, in each of three passes. */
  readonly onFrames?: (done: number) => void;
}

/** Containers in which decoding may begin at any key frame. */
const BEGINS_ANYWHERE = /^(mov,mp4|matroska|avi)/;

/**
 * The stretch that has to be decoded to judge some frames: from the key frame before them to the one after.
 */
export function stretchAround({ container, keyFrames, pts }: ClipFacts, { from, to }: FrameRun): FrameRun {
  if (!BEGINS_ANYWHERE.test(container)) return { from: 0, to: pts.length - 1 };
  const start = keyFrames.findLast((key) => key <= from) ?? 0;
  const next = keyFrames.find((key) => key > to);
  return { from: start, to: next === undefined ? pts.length - 1 : next - 1 };
}

/** What is known against frames, each with the reason. */
export interface Examination {
  /** Frames that cannot be shown. */
  readonly damaged: ReadonlyMap<number, string>;
  /** Frames that decode without an error and lie in the file beside damage, which may reach into them. */
  readonly doubtful: ReadonlyMap<number, string>;
}

/**
 * Judges every frame of a stretch, whatever its codec, from three decodings on one thread. The first is
 * told packet by packet: a frame is damaged when its packet brings a complaint of reader or decoder, or when
 * it gives no picture at its time. One whose packet the reader alone calls corrupt, and which the second
 * decoding gives as the first does, is in doubt. The second gives up at every error:
 * where nothing was said of a group, a frame that is missing or another picture there is damaged too.
 * (Where something was, giving up also loses frames that were decoded before and not shown yet.) The third
 * tells which frames others are predicted from: what is decoded after a damaged one of these, up to the
 * next key frame, cannot be trusted. A bad sector or a bad copy is longer than a packet and need not make
 * the decoder complain at both ends: the packets on either side of a damaged one, and what is predicted
 * from them, are in doubt.
 * @param run a stretch as stretchAround gives it
 * @throws FaultError frames-not-exact when the clip has pictures at other times than the facts
 *   say; ffmpeg-*, cancelled
 */
export async function examineFrames(ffmpeg: Ffmpeg, clip: Examined, run: FrameRun): Promise<Examination> {
  const { facts } = clip;
  const frameAt = new Map(facts.pts.map((ticks, frame) => [ticks, frame]));
  const inRun = (frame: number | undefined): frame is number =>
    frame !== undefined && frame >= run.from && frame <= run.to;
  const { inStep } = await ffmpeg.version();
  const [sound, strict] = [await decoded(ffmpeg, clip, run, []), await decoded(ffmpeg, clip, run, GIVE_UP)];
  const roots = new Map<number, string>();
  const root = (frame: number | undefined | null, why: string) => {
    if (frame !== null && inRun(frame) && !roots.has(frame)) roots.set(frame, why);
  };
  const { packets, findings } = decodeReport(sound.stderr, facts.container, inStep);
  const order = packets.map((ticks) => (ticks === null ? null : (frameAt.get(ticks) ?? null)));
  const told = toldOf(findings, packets, order, frameAt);
  for (const [frame, why] of told.against) root(frame, why);
  const gaps = told.gaps;
  mustBeListed(clip, run, sound.checksums, frameAt);
  const groupOf = (frame: number) => facts.keyFrames.findLastIndex((key) => key <= frame);
  const beside = findings.flatMap(({ about, at }) => (about === "picture" ? [] : [nextShown(order, at)]));
  const groupsTold = new Set(
    [...roots.keys(), ...gaps.keys(), ...beside.filter((frame) => frame !== null)].map(groupOf),
  );
  const harmed = placesOf(findings);
  const gaveUpAt = placesOf(decodeReport(strict.stderr, facts.container, inStep).findings);
  const lost = new Map<number, string>();
  // What a decoder holds back when it meets damage it may never show, though others were
  // predicted from it before.
  const isBefore = (places: readonly number[], frame: number) => {
    const place = order.indexOf(frame);
    const inGroup = (at: number) => order[at] == null || groupOf(order[at]) === groupOf(frame);
    if (place < 0 || places.some((at) => at <= place && inGroup(at))) return false;
    return places.some((at) => at > place && at - place <= HELD_BACK);
  };
  const differs = (given: number | undefined, picture: number, frame: number) =>
    given === undefined ? !isBefore([...harmed, ...gaveUpAt], frame) : given !== picture;
  for (const [frame, why] of told.flagged) {
    const ticks = facts.pts[frame] as number;
    const [picture, again] = [sound.checksums.get(ticks), strict.checksums.get(ticks)];
    const isLostLater = again === undefined && isBefore(gaveUpAt, frame);
    if (picture === undefined || !(again === picture || isLostLater)) root(frame, why);
  }
  for (let frame = run.from; frame <= run.to; frame++) {
    const ticks = facts.pts[frame] as number;
    const picture = sound.checksums.get(ticks);
    if (picture === undefined && isBefore(harmed, frame))
      lost.set(frame, "damage that follows keeps it from being shown");
    else if (picture === undefined) root(frame, "it gives no picture");
    else if (!groupsTold.has(groupOf(frame)) && differs(strict.checksums.get(ticks), picture, frame))
      root(frame, "its data do not decode without an error");
  }
  const flagged = new Map([...told.flagged].filter(([frame]) => !roots.has(frame)));
  if (roots.size + gaps.size + lost.size + flagged.size === 0) return { damaged: roots, doubtful: flagged };
  const references = (await decoded(ffmpeg, clip, run, REFERENCES_ONLY)).checksums;
  const keys = new Set(facts.keyFrames);
  const isReference = (frame: number) => {
    const ticks = facts.pts[frame] as number;
    return references.has(ticks) || !sound.checksums.has(ticks); // one without a picture is not told apart
  };
  const decoding = { order, isKey: (frame: number) => keys.has(frame), isReference };
  const listed = (frames: ReadonlyMap<number, string>) =>
    new Map([...frames].filter(([frame]) => inRun(frame)).sort(([a], [b]) => a - b));
  const damaged = new Map([...lost, ...spoiltFrames(decoding, roots, gaps)]);
  const neighbours = besideDamage(order, new Map([...flagged, ...roots]), gaps);
  const spoilt = spoiltFrames(decoding, new Map([...neighbours, ...flagged, ...roots]), gaps);
  return {
    damaged: listed(damaged),
    doubtful: listed(new Map([...spoilt].filter(([frame]) => !damaged.has(frame)))),
  };
}

/** What a decoding found: against frames, of gaps before frames, and what the reader alone says. */
function toldOf(
  findings: readonly Finding[],
  packets: readonly (number | null)[],
  order: readonly (number | null)[],
  frameAt: ReadonlyMap<number, number>,
) {
  const against: (readonly [number | undefined | null, string])[] = [];
  const [gaps, flagged] = [new Map<number, string>(), new Map<number, string>()];
  for (const { about, at, text } of findings) {
    const frame = order[at];
    const why = `ffmpeg says: ${text}`;
    if (about === "picture") against.push([frameAt.get(at), why]);
    else if (frame != null && READERS_WORD.test(text)) flagged.set(frame, why);
    else if (about === "packet") against.push([packets[at] === null ? nextShown(order, at) : frame, why]);
    else if (frame != null) gaps.set(frame, `what comes before it cannot be read (${why})`);
  }
  return { against, gaps, flagged };
}

/** The packets that something was said of by more than the reader. */
const placesOf = (findings: readonly Finding[]): readonly number[] =>
  findings.flatMap(({ about, at, text }) => (about === "picture" || READERS_WORD.test(text) ? [] : [at]));

/** The frames whose packets lie next to those of damaged ones, or before what was lost. */
function besideDamage(
  order: readonly (number | null)[],
  roots: ReadonlyMap<number, string>,
  gaps: ReadonlyMap<number, string>,
): ReadonlyMap<number, string> {
  const beside = new Map<number, string>();
  for (const [i, frame] of order.entries()) {
    if (frame === null || !(roots.has(frame) || gaps.has(frame))) continue;
    for (const other of [order[i - 1], roots.has(frame) ? order[i + 1] : null]) {
      if (other != null) beside.set(other, `it lies in the file beside frame ${frame}, which is damaged`);
    }
  }
  return beside;
}

/** What the reader alone says of a packet, before anything is decoded. */
const READERS_WORD = /^(corrupt input packet|Packet corrupt)/;
const HELD_BACK = 16; // packets; no codec in use holds back more pictures than its 16 references
const GIVE_UP = ["-err_detect:v", "explode"] as const;
const REFERENCES_ONLY = ["-skip_frame:v", "noref"] as const;

/**
 * The frame of a packet, or of the nearest that has one: where a packet has no time of its own, its picture
 * is one of those not shown yet.
 */
function nextShown(order: readonly (number | null)[], at: number): number | null {
  return (
    order.slice(at).find((frame) => frame !== null) ??
    order.slice(0, at).findLast((frame) => frame !== null) ??
    null
  );
}

interface Decoded {
  readonly stderr: string;
  /** Checksum of each picture, by its ticks. */
  readonly checksums: ReadonlyMap<number, number>;
}

async function decoded(
  ffmpeg: Ffmpeg,
  { path, facts, signal, urgent, onFrames }: Examined,
  { from, to }: FrameRun,
  options: readonly string[],
): Promise<Decoded> {
  const { hasFpsMode } = await ffmpeg.version();
  const [num, den] = facts.timeBase;
  const seconds = ((facts.pts[from] as number) * num) / den - facts.startS;
  const seek = from === 0 || seconds <= 0 ? [] : ["-ss", seconds.toFixed(6)];
  const { stdout, stderr } = await ffmpeg.run({
    input: path,
    inputOptions: [
      ...TELLING,
      "-stats",
      "-copyts",
      "-max_error_rate",
      "1",
      "-threads:v",
      "1",
      ...options,
      ...seek,
    ],
    output: "-",
    outputOptions: [
      ...["-map", "0:V:0", "-frames:v", String(to - from + 1), ...passthroughOptions(hasFpsMode)],
      ...[
        "-enc_time_base",
        facts.timeBase.join("/"),
        "-c:v",
        "rawvideo",
        "-flush_packets",
        "1",
        "-f",
        "framecrc",
      ],
    ],
    urgent,
    signal,
    onLine: (line) => {
      const done = framesDone(line);
      if (done !== null) onFrames?.(Math.min(to - from + 1, done));
    },
  });
  return { stderr, checksums: new Map(parsePackets(stdout).map(({ pts, checksum }) => [pts, checksum])) };
}

/** Pictures at times that are not listed, as many as are missing: the facts are not of this file. */
function mustBeListed(
  { path, facts }: Examined,
  { from, to }: FrameRun,
  checksums: ReadonlyMap<number, number>,
  frameAt: ReadonlyMap<number, number>,
): void {
  const listed = facts.pts.slice(from, to + 1);
  const missing = listed.filter((ticks) => !checksums.has(ticks)).length;
  const unlisted = [...checksums.keys()].filter((ticks) => !frameAt.has(ticks));
  if (missing === 0 || unlisted.length < missing) return;
  const first = Math.min(...unlisted);
  const at = facts.pts.findIndex((ticks) => ticks > first);
  throw framesNotExact(basename(path), at < 0 ? facts.pts.length - 1 : at, "");
}
