import { type FileHandle, open } from "node:fs/promises";

const HEADER_BYTES = 12; // of a list: its name, its length and its kind
const CHUNK_BYTES = 8; // of a chunk: its name and its length
const ENTRY_BYTES = 16; // of the index: name of the chunk, flags, place, length
const MOST_INDEX_BYTES = 64e6; // four million chunks

/**
 * Lengths of the first video stream's chunks as the index of an AVI file ("idx1") lists them, in bytes, one
 * for each step of the stream's clock; 0 where a frame was left out. Source: Microsoft, "AVI RIFF File
 * Reference" (AVIOLDINDEX). Of a longer file (OpenDML) this index covers the first part.
 * @returns null when the file has no such index, or it cannot be read
 */
export async function aviIndex(path: string): Promise<readonly number[] | null> {
  const file = await open(path, "r").catch(() => null);
  if (file === null) return null;
  try {
    const riff = await bytesAt(file, 0, HEADER_BYTES);
    if (nameAt(riff, 0) !== "RIFF" || nameAt(riff, 8) !== "AVI ") return null;
    const end = CHUNK_BYTES + riff.readUInt32LE(4);
    let stream: string | null = null;
    for (let at = HEADER_BYTES; at + CHUNK_BYTES <= end; ) {
      const head = await bytesAt(file, at, HEADER_BYTES);
      const [name, length] = [nameAt(head, 0), head.readUInt32LE(4)];
      if (name === "LIST" && nameAt(head, 8) === "hdrl") {
        stream = videoStream(await bytesAt(file, at + HEADER_BYTES, Math.min(length, MOST_INDEX_BYTES)));
      } else if (name === "idx1" && stream !== null && length <= MOST_INDEX_BYTES) {
        return entriesOf(await bytesAt(file, at + CHUNK_BYTES, length), stream);
      }
      at += CHUNK_BYTES + length + (length % 2);
    }
    return null;
  } catch {
    return null; // a damaged file: what its frames are worth is found by decoding them
  } finally {
    await file.close();
  }
}

function entriesOf(index: Buffer, stream: string): readonly number[] {
  const lengths: number[] = [];
  for (let at = 0; at + ENTRY_BYTES <= index.length; at += ENTRY_BYTES) {
    // "00dc" and "00db" are pictures of stream 0, "00pc" is a change of its palette.
    if (nameAt(index, at).startsWith(`${stream}d`)) lengths.push(index.readUInt32LE(at + 12));
  }
  return lengths;
}

/** Two digits: the place among the streams of the first that is video. */
function videoStream(headers: Buffer): string | null {
  const kinds = [...headers.toString("latin1").matchAll(/strh....(vids|auds|mids|txts)/gs)].map(
    ([, kind]) => kind,
  );
  const place = kinds.indexOf("vids");
  return place < 0 ? null : String(place).padStart(2, "0");
}

/** @throws RangeError when the file ends before */
async function bytesAt(file: FileHandle, at: number, length: number): Promise<Buffer> {
  const { buffer, bytesRead } = await file.read(Buffer.alloc(length), 0, length, at);
  if (bytesRead < Math.min(length, CHUNK_BYTES))
    throw new RangeError(`the file ends before byte ${at + length}`);
  return buffer;
}

function nameAt(bytes: Buffer, at: number): string {
  return bytes.toString("latin1", at, at + 4);
}

/**
 * The first frame of a listing that the index has elsewhere: something between the frames could not be read,
 * and those from there on are shown at other times than the file's own.
 * @param index as aviIndex gives it
 * @param packets of a listing, in the order of the file, with whole steps of the stream's clock
 * @returns null when all that are in the index stand where they should
 */
export function firstMisplaced(
  index: readonly number[],
  packets: readonly { readonly step: number; readonly bytes: number }[],
): number | null {
  const steps = index.flatMap((bytes, step) => (bytes === 0 ? [] : [{ step, bytes }]));
  const at = packets.findIndex(({ step, bytes }, i) => {
    const wanted = steps[i];
    return wanted !== undefined && (wanted.step !== step || wanted.bytes !== bytes);
  });
  return at < 0 ? null : at;
}
