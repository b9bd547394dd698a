/** The shown frames of a stream in order of presentation, as a framecrc listing gives them. */
export interface FrameList {
  /** Seconds per tick = first / second. */
  readonly timeBase: readonly [number, number];
  /** Ticks, increasing. */
  readonly pts: readonly number[];
  /** Indices into pts, increasing. */
  readonly keyFrames: readonly number[];
  /**
   * False when a packet carries no presentation time or two carry the same: then only
   * decoding tells the times.
   */
  readonly timed: boolean;
}

/** One packet of a framecrc listing. */
export interface ListedPacket {
  readonly pts: number;
  readonly bytes: number;
  /** Adler-32 of the packet begun at 0, as ffmpeg counts it. */
  readonly checksum: number;
  readonly flags: number;
}

const KEY = 0x1;
const CORRUPT = 0x2;
const DISCARD = 0x4; // decoded for others' sake, never shown: packets before the start of an edit list

/**
 * Parses ffmpeg's framecrc output: "stream, dts, pts, duration, size, checksum[, F=flags][, S=side data]",
 * where no F means a plain key frame. Rows of other streams and comments are passed over.
 */
export function parsePackets(text: string): ListedPacket[] {
  const packets: ListedPacket[] = [];
  for (const line of text.split("\n")) {
    const row = /^0,\s*-?\d+,\s*(-?\d+),\s*\d+,\s*(\d+), 0x([0-9a-f]{8})(?:, F=0x([0-9A-Fa-f]+))?/.exec(line);
    if (row === null) continue;
    packets.push({
      pts: Number(row[1]),
      bytes: Number(row[2]),
      checksum: Number.parseInt(row[3] ?? "", 16),
      flags: row[4] === undefined ? KEY : Number.parseInt(row[4], 16),
    });
  }
  return packets;
}

const FEW = 0.1; // of the packets: more without a usable time are not damage, but a container that keeps none
const REORDERED = 16; // frames; no codec in use shows a frame later after it was decoded

/**
 * The frame list of a framecrc listing: packets that are never shown are dropped and the rest sorted by
 * time. A few packets that are marked as corrupt and have lost their time are dropped too: they are no
 * frames that could be asked for.
 * @param endsEarly the file was cut off: a last packet that is not whole is dropped, and so are frames that
 *   are shown after one that is missing
 */
export function parseFrameList(text: string, endsEarly = false): FrameList {
  const base = /^#tb 0: (\d+)\/(\d+)/m.exec(text);
  const whole = parsePackets(text).filter((packet) => (packet.flags & DISCARD) === 0);
  if (endsEarly && ((whole.at(-1)?.flags ?? 0) & CORRUPT) !== 0) whole.pop();
  const sorted = [...withoutTimeless(whole)].sort((a, b) => a.pts - b.pts);
  const shown = endsEarly ? beforeTheGap(sorted) : sorted;
  const pts = shown.map((packet) => packet.pts);
  const keyFrames = shown.flatMap((packet, index) => ((packet.flags & KEY) !== 0 ? [index] : []));
  return {
    timeBase: [Number(base?.[1] ?? 1), Number(base?.[2] ?? 1)],
    pts,
    keyFrames,
    timed: pts.every(
      (ticks, i) => Number.isSafeInteger(ticks) && (i === 0 || ticks > (pts[i - 1] as number)),
    ),
  };
}

function withoutTimeless(packets: readonly ListedPacket[]): readonly ListedPacket[] {
  const seen = new Set<number>();
  const usable = packets.filter(({ pts, flags }) => {
    const known = Number.isSafeInteger(pts) && !seen.has(pts);
    seen.add(pts);
    return known || (flags & CORRUPT) === 0;
  });
  return packets.length - usable.length <= FEW * packets.length ? usable : packets;
}

/**
 * Up to the first interval among the last ones that is longer than usual: what is shown after it was decoded
 * before what was cut off.
 */
function beforeTheGap(packets: readonly ListedPacket[]): readonly ListedPacket[] {
  const steps = packets.slice(1).map(({ pts }, i) => pts - (packets[i] as ListedPacket).pts);
  const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? 0;
  const gap = steps.findIndex((step, i) => i >= steps.length - REORDERED && step > 1.5 * usual);
  return gap < 0 ? packets : packets.slice(0, gap + 1);
}
