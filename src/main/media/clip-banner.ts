/** What ffmpeg prints of an input before it starts, as far as Loftmark uses it. */
export interface ClipBanner {
  readonly container: string;
  readonly durationS: number | null;
  readonly startS: number;
  readonly captureRateHz: number | null;
  /** The first moving picture; cover pictures and thumbnails do not count. */
  readonly video: BannerVideo | null;
}

export interface BannerVideo {
  readonly codec: string;
  /** Null when ffmpeg could not tell. */
  readonly pixelFormat: string | null;
  /** px, as stored; null when ffmpeg could not tell. */
  readonly size: readonly [number, number] | null;
  readonly pixelAspect: readonly [number, number];
  /** deg, clockwise turn that makes the picture upright, in [0, 360), not rounded. */
  readonly turnDeg: number;
  readonly rateHz: number | null;
  /** Each frame holds two half pictures of different instants, or is stored as if; left out otherwise. */
  readonly interlaced?: true;
}

/**
 * Tags in which containers carry the rate the sensor ran at; the first is written by phones in slow motion.
 */
const CAPTURE_TAGS = ["com.android.capture.fps", "capture.fps", "capture_fps", "capturefps"];

/**
 * Reads the "Input #0" block of ffmpeg's banner. Lines count only at their exact indent, so that a file name
 * or a tag that looks like another line cannot stand for it.
 * @returns null when ffmpeg printed no input block
 */
export function parseBanner(stderr: string): ClipBanner | null {
  const lines = stderr.split("\n");
  const at = lines.findIndex((line) => line.startsWith("Input #0, "));
  if (at < 0) return null;
  const rest = lines.slice(at);
  const after = rest.findIndex((line) => /^(Output #0|Stream mapping|Stream map )/.test(line));
  const block = after < 0 ? rest : rest.slice(0, after);
  const timing = block.find((line) => line.startsWith("  Duration: ")) ?? "";
  const duration = /Duration: (\d+):(\d+):(\d+(?:\.\d+)?)/.exec(timing);
  return {
    container: /^Input #0, (.*?), from '/.exec(block[0] ?? "")?.[1] ?? "",
    durationS:
      duration === null ? null : Number(duration[1]) * 3600 + Number(duration[2]) * 60 + Number(duration[3]),
    startS: Number(/, start: (-?\d+(?:\.\d+)?)/.exec(timing)?.[1] ?? 0),
    captureRateHz: captureRate(block),
    video: firstVideo(block),
  };
}

function captureRate(block: readonly string[]): number | null {
  for (const tag of CAPTURE_TAGS) {
    for (const line of block) {
      const [, name, value] = /^ {4,6}(\S+)\s*: ([\d.]+)\s*$/.exec(line) ?? [];
      if (name?.toLowerCase() === tag && Number(value) > 0) return Number(value);
    }
  }
  return null;
}

function firstVideo(block: readonly string[]): BannerVideo | null {
  const at = block.findIndex(
    (line) =>
      /^ {2,4}Stream #0:\d+\S*: Video: /.test(line) && !/\((attached pic|timed thumbnails)\)/.test(line),
  );
  if (at < 0) return null;
  const next = block.findIndex((line, i) => i > at && /^ {2,4}Stream #/.test(line));
  const own = block.slice(at, next < 0 ? undefined : next);
  const fields = topLevelFields((own[0] ?? "").replace(/^.*?: Video: /, ""));
  const printed = own
    .map((line) => /display ?matrix: rotation of (-?[\d.]+)/i.exec(line))
    .find((m) => m !== null);
  const size = fields.map((field) => /^(\d+)x(\d+)\b/.exec(field)).find((m) => m !== null);
  // The printed angle turns counter-clockwise.
  const turnDeg = ((-Number(printed?.[1] ?? 0) % 360) + 360) % 360;
  const codec = /^[^\s(,]+/.exec(fields[0] ?? "")?.[0] ?? "";
  // DV is interlaced by its standard, and ffmpeg does not say so before it decodes.
  const isInterlaced = codec === "dvvideo" || /\b(top|bottom) (coded )?first\b/.test(fields[1] ?? "");
  return {
    codec,
    ...(isInterlaced ? { interlaced: true } : {}),
    pixelFormat: pixelFormat(fields[1]),
    size: size ? [Number(size[1]), Number(size[2])] : null,
    pixelAspect: pixelAspect(fields),
    turnDeg,
    rateHz: rate(fields, "fps") ?? rate(fields, "tbr"),
  };
}

/** Splits at commas outside brackets: "yuv420p(tv, bt709), 320x240 [SAR 4:3 DAR 16:9]" has two fields. */
function topLevelFields(text: string): string[] {
  const fields = [""];
  let depth = 0;
  for (const letter of text) {
    if (letter === "(" || letter === "[") depth++;
    if (letter === ")" || letter === "]") depth--;
    if (letter === "," && depth === 0) fields.push("");
    else fields[fields.length - 1] += letter;
  }
  return fields.map((field) => field.trim());
}

function pixelFormat(field: string | undefined): string | null {
  const name = /^[a-z][a-z0-9_]*/.exec(field ?? "")?.[0];
  return name === undefined || name === "none" ? null : name;
}

/**
 * The container's own ratio, a field by itself, goes before the codec's, which stands in
 * brackets after the size.
 */
function pixelAspect(fields: readonly string[]): readonly [number, number] {
  const ratios = [/^SAR (\d+):(\d+)/, /\[SAR (\d+):(\d+)/].map((pattern) =>
    fields.map((field) => pattern.exec(field)).find((m) => m !== null),
  );
  for (const ratio of ratios) {
    const [a, b] = [Number(ratio?.[1] ?? 0), Number(ratio?.[2] ?? 0)];
    if (a > 0 && b > 0) return [a, b];
  }
  return [1, 1];
}

function rate(fields: readonly string[], unit: string): number | null {
  for (const field of fields) {
    const [, value, kilo] = new RegExp(`^([\\d.]+)(k?) ${unit}\\b`).exec(field) ?? [];
    if (value !== undefined && Number(value) > 0) return Number(value) * (kilo === "k" ? 1000 : 1);
  }
  return null;
}

/**
 * Bits of one sample of an ffmpeg pixel format: yuv420p -> 8, yuv420p10le -> 10, p010le -> 10, gray16le ->
 * 16, rgb48le -> 16 (three samples), rgba64le -> 16 (four).
 */
export function bitDepthOf(pixelFormat: string): number {
  if (/^(?:rgb|bgr)48|^(?:rgba|bgra|ayuv)64/.test(pixelFormat)) return 16;
  if (/^nv20/.test(pixelFormat)) return 10; // named by its bits a pixel
  const digits = /(\d+)(?:le|be)$/.exec(pixelFormat)?.[1];
  if (digits === undefined) return 8;
  if (/^(?:rgb|bgr)(?:555|565|444)/.test(pixelFormat)) return Number(digits[0]);
  return Number(digits.slice(-2)); // p010le ends in "010", yuv420p10le in "10"
}
