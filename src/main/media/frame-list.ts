/** The shown frames of a stream in order of presentation, as a framecrc listing gives them. */
export interface FrameList {
  /** Seconds per tick = first / second. */
  readonly timeBase: readonly [number, number];
  /** Ticks, increasing. */
  readonly pts: readonly number[];
  /** Indices into pts, increasing. */
  readonly keyFrames: readonly number[];
  /** False when a packet carries no presentation time or two carry the same: then only decoding tells the times. */
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
const DISCARD = 0x4; // decoded for others' sake, never shown: packets before the start of an edit list

/**
 * Parses ffmpeg's framecrc output: "stream, dts, pts, duration, size, checksum[, F=flags][, S=side data]", where no F
 * means a plain key frame. Rows of other streams and comments are passed over.
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

/** The frame list of a framecrc listing: packets that are never shown are dropped and the rest sorted by time. */
export function parseFrameList(text: string): FrameList {
  const base = /^#tb 0: (\d+)\/(\d+)/m.exec(text);
  const shown = parsePackets(text)
    .filter((packet) => (packet.flags & DISCARD) === 0)
    .sort((a, b) => a.pts - b.pts);
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
