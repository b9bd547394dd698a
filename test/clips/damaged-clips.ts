import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { type Chance, createChance } from "../../src/shared/quantity/chance.ts";
import { flyingScene, SCENE_HEIGHT, SCENE_WIDTH } from "./flying-scene.ts";
import { canEncode } from "./make-clips.ts";
import { ffmpegPath, ffprobePath, run } from "./program.ts";

/** A way of coding a clip: what cameras, phones, recorders and editors write. */
export interface ClipKind {
  readonly name: string;
  readonly extension: string;
  readonly encoder: string;
  readonly options: readonly string[];
}

const GROUP = ["-g", "12"];
const X264 = ["-preset", "veryfast", "-bf", "2", ...GROUP, "-pix_fmt", "yuv420p"];
const X265 = [
  "-preset",
  "ultrafast",
  "-x265-params",
  "log-level=none:keyint=12:bframes=2",
  "-pix_fmt",
  "yuv420p",
];
const MPEG4 = ["-q:v", "4", "-bf", "2", ...GROUP];
const FRONT = ["-movflags", "+faststart"];

export const CLIP_KINDS: readonly ClipKind[] = [
  { name: "h264-mp4", extension: "mp4", encoder: "libx264", options: [...X264, ...FRONT] },
  { name: "h264-mov", extension: "mov", encoder: "libx264", options: [...X264, "-coder", "vlc", ...FRONT] },
  { name: "h264-mkv", extension: "mkv", encoder: "libx264", options: X264 },
  { name: "h264-ts", extension: "ts", encoder: "libx264", options: X264 },
  { name: "hevc-mp4", extension: "mp4", encoder: "libx265", options: [...X265, "-tag:v", "hvc1", ...FRONT] },
  { name: "hevc-mkv", extension: "mkv", encoder: "libx265", options: X265 },
  { name: "hevc-ts", extension: "ts", encoder: "libx265", options: X265 },
  { name: "mpeg4-avi", extension: "avi", encoder: "mpeg4", options: ["-q:v", "4", "-bf", "0", ...GROUP] },
  { name: "mpeg4-mp4", extension: "mp4", encoder: "mpeg4", options: [...MPEG4, ...FRONT] },
  { name: "mjpeg-avi", extension: "avi", encoder: "mjpeg", options: ["-q:v", "3", "-pix_fmt", "yuvj420p"] },
  {
    name: "mjpeg-mov",
    extension: "mov",
    encoder: "mjpeg",
    options: ["-q:v", "3", "-pix_fmt", "yuvj422p", ...FRONT],
  },
  {
    name: "vp9-mkv",
    extension: "mkv",
    encoder: "libvpx-vp9",
    options: ["-b:v", "0", "-crf", "30", "-deadline", "realtime", "-cpu-used", "8", ...GROUP],
  },
  {
    name: "prores-mov",
    extension: "mov",
    encoder: "prores_ks",
    options: ["-profile:v", "1", "-pix_fmt", "yuv422p10le", ...FRONT],
  },
  {
    name: "ffv1-mkv",
    extension: "mkv",
    encoder: "ffv1",
    options: ["-level", "3", "-slicecrc", "1", "-g", "1", "-pix_fmt", "yuv420p"],
  },
  {
    name: "dnxhr-mov",
    extension: "mov",
    encoder: "dnxhd",
    options: ["-profile:v", "dnxhr_sq", "-pix_fmt", "yuv422p", ...FRONT],
  },
];

/** What is done to a clip's file. */
export const HARMS = ["flip", "flips", "zeros", "noise", "cut", "drop", "double"] as const;
export type Harm = (typeof HARMS)[number];

export const SCENE_FRAMES = 48;

/** The kinds that this ffmpeg can make. */
export async function kindsHere(): Promise<readonly ClipKind[]> {
  const able = await Promise.all(CLIP_KINDS.map(({ encoder }) => canEncode(encoder)));
  return CLIP_KINDS.filter((_, i) => able[i]);
}

/** A sound clip of a kind, in `folder`. @returns its path */
export async function soundClip(kind: ClipKind, folder: string, seed = 1): Promise<string> {
  const out = join(folder, `${kind.name}.${kind.extension}`);
  const raw = [
    "-f",
    "rawvideo",
    "-pix_fmt",
    "gray",
    "-s",
    `${SCENE_WIDTH}x${SCENE_HEIGHT}`,
    "-r",
    "30",
    "-i",
    "-",
  ];
  const coded = ["-c:v", kind.encoder, ...kind.options];
  await run(
    ffmpegPath(),
    ["-v", "error", "-y", ...raw, ...coded, `file:${out}`],
    flyingScene(SCENE_FRAMES, seed),
  );
  return out;
}

/** Writes a damaged copy of a sound clip. The seed decides where. @returns what was done, in words */
export async function damageClip(sound: string, out: string, harm: Harm, seed: number): Promise<string> {
  const chance = createChance(seed);
  if (harm === "drop") return dropFrames(sound, out, chance);
  const data = await readFile(sound);
  const packets = await packetsOf(sound);
  const said = harm === "double" ? double(data, packets, chance) : spoil(data, packets, harm, chance);
  await writeFile(out, said.data);
  return said.words;
}

/** A coded picture as it lies in a file, in the order of decoding. */
interface Packet {
  readonly at: number;
  readonly bytes: number;
  /** s; NaN where the file gives none. */
  readonly timeS: number;
  readonly key: boolean;
}
interface Spoilt {
  readonly data: Uint8Array;
  readonly words: string;
}

function spoil(
  data: Buffer,
  packets: readonly Packet[],
  harm: Exclude<Harm, "drop" | "double">,
  chance: Chance,
): Spoilt {
  const packet = anyOf(packets, chance);
  const at = Math.min(data.length - 1, packet.at + Math.floor(packet.bytes * chance.uniform()));
  switch (harm) {
    case "flip": {
      const bit = Math.floor(8 * chance.uniform());
      data[at] = (data[at] as number) ^ (1 << bit);
      return { data, words: `bit ${bit} of byte ${at} flipped` };
    }
    case "flips": {
      const count = 2 + Math.floor(12 * chance.uniform());
      for (let i = 0; i < count; i++) {
        const near = Math.min(data.length - 1, at + Math.floor(2000 * chance.uniform()));
        data[near] = (data[near] as number) ^ (1 << Math.floor(8 * chance.uniform()));
      }
      return { data, words: `${count} bits flipped from byte ${at} on` };
    }
    case "zeros":
    case "noise": {
      const length = 512 * (1 + Math.floor(8 * chance.uniform()));
      const end = Math.min(data.length, at + length);
      for (let i = at; i < end; i++) data[i] = harm === "zeros" ? 0 : Math.floor(256 * chance.uniform());
      return { data, words: `${end - at} bytes of ${harm} from ${at} on` };
    }
    case "cut": {
      const kept = Math.floor(data.length * (0.4 + 0.55 * chance.uniform()));
      return { data: data.subarray(0, kept), words: `cut after ${kept} of ${data.length} bytes` };
    }
  }
}

/** Some bytes stand twice and push out as many after them, as a recorder or a bad copy leaves them. */
function double(data: Buffer, packets: readonly Packet[], chance: Chance): Spoilt {
  const packet = anyOf(packets, chance);
  const length = Math.min(packet.bytes, data.length - packet.at - packet.bytes);
  data.copyWithin(packet.at + packet.bytes, packet.at, packet.at + length);
  return { data, words: `${length} bytes at ${packet.at} stand twice` };
}

/** Frames are gone from the file, and the others keep their times. */
async function dropFrames(sound: string, out: string, chance: Chance): Promise<string> {
  const first = 1 + Math.floor((SCENE_FRAMES - 3) * chance.uniform());
  const count = 1 + Math.floor(2 * chance.uniform());
  const drop = `noise=drop='between(n,${first},${first + count - 1})'`;
  await run(ffmpegPath(), [
    ...["-v", "error", "-y", "-copyts", "-i", `file:${sound}`, "-map", "0:V:0", "-c", "copy", "-copyts"],
    ...["-bsf:v", drop, "-muxpreload", "0", "-muxdelay", "0", `file:${out}`],
  ]);
  return `packets ${first} to ${first + count - 1} dropped`;
}

function anyOf(packets: readonly Packet[], chance: Chance): Packet {
  return packets[Math.floor(packets.length * chance.uniform())] as Packet;
}

async function packetsOf(path: string): Promise<readonly Packet[]> {
  const entries = ["-show_entries", "packet=pos,size,pts_time,flags", "-of", "compact=p=0"];
  const text = await run(ffprobePath(), [
    ...["-v", "error", "-select_streams", "v:0", ...entries],
    `file:${path}`,
  ]);
  return text
    .toString()
    .split("\n")
    .flatMap((line) => {
      const value = (name: string) => new RegExp(`\\b${name}=([^|]*)`).exec(line)?.[1] ?? "";
      const [at, bytes] = [Number.parseInt(value("pos"), 10), Number.parseInt(value("size"), 10)];
      const timeS = Number.parseFloat(value("pts_time"));
      return at >= 0 && bytes > 0 ? [{ at, bytes, timeS, key: value("flags").startsWith("K") }] : [];
    });
}

/**
 * Times of the pictures that harm to a clip reaches, s: of packets whose bytes were changed or are gone, and
 * of all that may be predicted from them: what is decoded up to the next key frame, and after that what is
 * shown before it. Where times are not in the file, of all.
 * @param sound the clip before
 * @param harmed the clip after, with every byte where it was, or cut off, or without some packets
 */
export async function harmedTimes(sound: string, harmed: string, harm: Harm): Promise<readonly number[]> {
  const [before, after, packets] = [await readFile(sound), await readFile(harmed), await packetsOf(sound)];
  const left = harm === "drop" ? new Set((await packetsOf(harmed)).map(({ timeS }) => timeS)) : null;
  const reached: number[] = [];
  let open = false; // inside a group that something was changed in
  let key: Packet | null = null; // that such a group ended at
  for (const [i, packet] of packets.entries()) {
    const end = packets[i + 1]?.at ?? before.length;
    const same = before.subarray(packet.at, end).equals(after.subarray(packet.at, end));
    const changed = left === null ? !same : !left.has(packet.timeS);
    if (packet.key) {
      key = open ? packet : null;
      open = false;
    }
    open ||= changed;
    if (open || (key !== null && packet.timeS < key.timeS)) reached.push(packet.timeS);
  }
  return reached;
}
