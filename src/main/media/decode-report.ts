/** What ffmpeg told, line by line, while it decoded a stretch of a clip with `-debug_ts` and levels named. */
export interface DecodeReport {
  /** Packets in the order they were decoded; ticks, null where the file gives no time. */
  readonly packets: readonly (number | null)[];
  /** Pictures in the order they came, ticks; null without a time. */
  readonly pictures: readonly (number | null)[];
  readonly findings: readonly Finding[];
}

/** A complaint, and what it is about. */
export interface Finding {
  /**
   * packet: of this number. lost-before: what stood before this packet could not be read.
   * picture: shown at this time.
   */
  readonly about: "packet" | "lost-before" | "picture";
  /** A number of `packets`, or ticks for a picture. */
  readonly at: number;
  readonly text: string;
}

/** Options that make ffmpeg tell what decodeReport reads. */
export const TELLING = ["-loglevel", "repeat+level+info", "-debug_ts"] as const;

/** Lines that say nothing about a picture. */
const HARMLESS =
  /unable to decode APP fields|non monotonically increasing dts|Application provided invalid|deprecated pixel format/;
/** Warnings that say as much as an error. */
const CORRUPT =
  /corrupt (input packet|decoded frame)|Packet corrupt|PES packet size mismatch|File ended prematurely/;
/** The end of a file that was cut off: what was read before it is whole, or marked as corrupt by itself. */
const ENDS = /: partial file$|File ended prematurely/;
/** Pictures a decoder may hold back before it gives one: no codec in use has more than 16 references. */
export const LATE_BY = 16;

/**
 * "[h264 @ 0x1] [info] " at the start of a line: who says it, at which level. Tags and names of a clip
 * come later in their lines.
 */
const LEVEL = /^(?:\[[^\]]+ @ \w+\] )*\[(\w+)\] /;
/**
 * What a decoder says, at the level of information, when part of a picture never came and it filled that in.
 */
const FILLED_IN = /^\[[^\]]+ @ \w+\] \[info\] concealing \d+ DC/;

/**
 * Whether a run that was to show every picture exactly says that something is wrong. Levels must be named in
 * the text, down to information: a slice of H.264 that ends early is no error to the decoder, and on several
 * threads the mark it leaves on the picture may come too late to be warned of.
 */
export function complains(stderr: string): boolean {
  return stderr.split("\n").some(isComplaint);
}

function isComplaint(line: string): boolean {
  if (HARMLESS.test(line)) return false;
  const level = LEVEL.exec(line)?.[1];
  if (level === "info") return FILLED_IN.test(line);
  return /^(error|fatal|panic)$/.test(level ?? "") || CORRUPT.test(line);
}

/** How many frames are done, from a line of ffmpeg's progress; null from any other. */
export function framesDone(line: string): number | null {
  const done = /^(?:\[info\] )?frame=\s*(\d+)/.exec(line)?.[1];
  return done === undefined ? null : Number(done);
}

/**
 * Reads the text of a run with one decoding thread. Its lines come in the order of what happened:
 * "demuxer+ffmpeg ->" hands a packet to the decoder, what follows is about it, "decoder ->" is a picture that
 * came out. A demuxer complains before the packet that comes next.
 * @param container as ffmpeg names it: its complaints are the demuxer's
 * @param inStep false where reader and decoder run in threads of their own (ffmpeg 7): then a complaint of
 *   the decoder may be about any of the packets whose pictures have not come yet, and counts for all of them
 */
export function decodeReport(stderr: string, container: string, inStep: boolean): DecodeReport {
  const packets: (number | null)[] = [];
  const pictures: (number | null)[] = [];
  const findings: Finding[] = [];
  let forNext: { readonly about: "packet" | "lost-before"; readonly text: string }[] = [];
  let forPicture: string[] = [];
  let begun = false;
  const decoderFindings = (text: string): readonly Finding[] => {
    if (inStep) return [{ about: "packet", at: Math.max(0, packets.length - 1), text }];
    const first = pictures.length;
    return Array.from({ length: LATE_BY + 1 }, (_, i) => ({ about: "packet", at: first + i, text }));
  };
  for (const line of stderr.split("\n")) {
    const packet = /demuxer\+ffmpeg -> .*type:video pkt_pts:(\S+)/.exec(line)?.[1];
    const picture = /decoder -> .*type:video .*best_effort_ts:(\S+)/.exec(line)?.[1];
    if (packet !== undefined) {
      packets.push(ticksOf(packet));
      for (const { about, text } of forNext) findings.push({ about, at: packets.length - 1, text });
      forNext = [];
    } else if (picture !== undefined) {
      const ticks = ticksOf(picture);
      pictures.push(ticks);
      if (ticks !== null)
        findings.push(...forPicture.map((text) => ({ about: "picture", at: ticks, text }) as const));
      forPicture = [];
    } else if (/Stream mapping:/.test(line)) begun = true;
    else if (begun && isComplaint(line) && !ENDS.test(line)) {
      const text = wordsOf(line);
      const about = aboutOf(line, container);
      if (about === "picture") forPicture.push(text);
      else if (about === "decoded") findings.push(...decoderFindings(text));
      else forNext.push({ about, text });
    }
  }
  return {
    packets,
    pictures,
    findings: findings.filter(({ about, at }) => about === "picture" || at < packets.length),
  };
}

/**
 * What a complaint is about: the picture or the packet that comes next, what was lost before that packet,
 * or what is being decoded.
 */
function aboutOf(line: string, container: string): "picture" | "packet" | "lost-before" | "decoded" {
  if (/corrupt decoded frame/.test(line)) return "picture";
  if (/corrupt input packet/.test(line) || isOf("NULL", line)) return "packet";
  return isOf(container, line) ? "lost-before" : "decoded";
}

function ticksOf(text: string): number | null {
  return /^-?\d+$/.test(text) ? Number(text) : null;
}

/**
 * Whether a line is the demuxer's own: "[mov,mp4,m4a,3gp,3g2,mj2 @ 0x...]". One that looks into a packet
 * before it is handed on is called NULL.
 */
function isOf(container: string, line: string): boolean {
  const name = /^\[([^\s\]]+) @ /.exec(line)?.[1];
  return name !== undefined && container.split(",").includes(name.split(",")[0] as string);
}

/** What a line says, without who says it and at which level. */
function wordsOf(line: string): string {
  return line
    .replace(/^(\[[^\]]*\]\s*)+/, "")
    .replace(/^(file:)?.*: (?=corrupt )/, "")
    .trim()
    .slice(0, 160);
}
