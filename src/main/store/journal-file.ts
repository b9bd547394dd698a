import { createHash } from "node:crypto";
import { type FileHandle, mkdir, open, readdir, readFile, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { z } from "zod";
import { FaultError } from "../../shared/quantity/notice.ts";
import { type JournalStep, JournalStepSchema } from "../../shared/session/journal.ts";
import { writeAtomically } from "./atomic-write.ts";
import { jsonPieces } from "./json-pieces.ts";
import { statOrNull } from "./missing-file.ts";

/*
 * The journal on disk: a folder of segments, each a file of lines. The first line of a segment holds a whole
 * document; the lines after it are the steps from there, and notes of what the document's own file was to
 * hold from then on. Lines are only ever appended, so a crash can leave half a line at the end and nothing
 * else; half a line was never acknowledged and is written over.
 */

export const HISTORY_FOLDER = "loftmark.history";
/**
 * Stands behind the note of a file that was written while further steps were made: it
 * does not hold the last one.
 */
export const FILE_BEHIND = "behind";
const KEPT_BYTES = 64e6; // of segments; the newest two are kept whatever their size
const FEWEST_KEPT = 2;

const HeadSchema = z.strictObject({
  format: z.literal("loftmark-history"),
  version: z.literal(1),
  why: z
    .enum(["begun", "outside", "full", "form", "recovered"])
    .describe("what made a new segment begin: the first save, a change by another program, its length, ..."),
  at: z.iso.datetime(),
  revision: z.string(),
  file: z.string().nullable().describe("SHA-256 of what loftmark.json held then; null when there was none"),
  session: z.looseObject({}).describe("the document then, of the version it says"),
});
export type SegmentHead = Readonly<z.infer<typeof HeadSchema>>;

const StepLineSchema = z.strictObject({ step: JournalStepSchema, revision: z.string() });
const FileLineSchema = z.strictObject({
  file: z
    .string()
    .describe(`SHA-256 of what loftmark.json holds next; "${FILE_BEHIND}" when that is an earlier state`),
});
const LineSchema = z.union([StepLineSchema, FileLineSchema]);
export type JournalLine = Readonly<z.infer<typeof LineSchema>>;

/** Where a segment ends: what appending to it needs. */
export interface SegmentEnd {
  readonly name: string;
  /** Bytes of the head's line, and of all whole lines. */
  readonly headBytes: number;
  readonly bytes: number;
}

export interface Segment extends SegmentEnd {
  readonly head: SegmentHead;
  readonly lines: readonly JournalLine[];
  /**
   * Whether a line that ends is none: it and what follows must be kept, not written over like half a line.
   */
  readonly damaged: boolean;
}

/** The segments of a folder, by name, oldest first. */
export async function listSegments(folder: string): Promise<readonly string[]> {
  const directory = join(folder, HISTORY_FOLDER);
  await mustBeOwnFolder(directory);
  const names = await readdir(directory).catch(() => []);
  return names.filter((name) => /^\d{6}\.jsonl$/.test(name)).sort();
}

/** @throws FaultError when something else than a folder of its own stands in the journal's place */
async function mustBeOwnFolder(directory: string): Promise<void> {
  const state = await statOrNull(directory);
  if (state === null || state.isDirectory()) return;
  throw new FaultError(
    "outside-folder",
    `${HISTORY_FOLDER} in the field folder is not a folder of its own but a link or a file.`,
    "Move it away; Loftmark keeps the history of the session in a folder of that name and touches nothing outside it.",
  );
}

/** Reads a segment as far as it is whole. @returns null when not even its head is */
export async function readSegment(folder: string, name: string): Promise<Segment | null> {
  const text = await readFile(join(folder, HISTORY_FOLDER, name), "utf8").catch(() => "");
  const headEnd = text.indexOf("\n") + 1;
  const head = HeadSchema.safeParse(jsonOf(text.slice(0, Math.max(0, headEnd - 1))));
  if (!head.success) return null;
  const lines: JournalLine[] = [];
  let start = headEnd;
  let damaged = false;
  for (let end = text.indexOf("\n", start); end >= 0; end = text.indexOf("\n", start)) {
    const line = LineSchema.safeParse(jsonOf(text.slice(start, end)));
    damaged = !line.success;
    if (!line.success) break; // what follows a damaged line cannot be built on
    lines.push(line.data);
    start = end + 1;
  }
  const headBytes = Buffer.byteLength(text.slice(0, headEnd));
  return {
    name,
    head: head.data,
    lines,
    damaged,
    headBytes,
    bytes: headBytes + Buffer.byteLength(text.slice(headEnd, start)),
  };
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** Size of a segment's file; 0 when it is not there. */
export async function segmentSize(folder: string, name: string): Promise<number> {
  return stat(join(folder, HISTORY_FOLDER, name)).then(
    ({ size }) => size,
    () => 0,
  );
}

/**
 * Appends lines behind the whole ones of a segment and flushes them to the disk; half a line that a crash
 * left there goes. When writing fails what was there stays.
 * @param bytes length of the segment's whole lines
 * @returns its new length
 */
export async function appendLines(
  folder: string,
  name: string,
  bytes: number,
  lines: readonly JournalLine[],
): Promise<number> {
  const added = Buffer.from(lines.map((line) => `${JSON.stringify(line)}\n`).join(""));
  const file = await open(join(folder, HISTORY_FOLDER, name), "r+");
  try {
    await file.truncate(bytes);
    try {
      await writeAll(file, added, bytes);
      await file.sync();
    } catch (error) {
      await file.truncate(bytes).catch(() => undefined); // half a line is passed over by every reader
      throw error;
    }
  } finally {
    await file.close();
  }
  return bytes + added.length;
}

/** A disk that fills up takes some bytes without a word, and refuses only the next ones. */
async function writeAll(file: FileHandle, bytes: Buffer, at: number): Promise<void> {
  for (let written = 0; written < bytes.length; ) {
    written += (await file.write(bytes, written, bytes.length - written, at + written)).bytesWritten;
  }
}

/**
 * Begins a segment with a head and its first lines; it appears whole or not at all. The oldest
 * segments beyond the bound go.
 */
export async function beginSegment(
  folder: string,
  head: Omit<SegmentHead, "format" | "version">,
  lines: readonly JournalLine[],
): Promise<SegmentEnd> {
  const directory = join(folder, HISTORY_FOLDER);
  const before = await listSegments(folder);
  await mkdir(directory, { recursive: true });
  const name = `${String(Number.parseInt(before.at(-1) ?? "0", 10) + 1).padStart(6, "0")}.jsonl`;
  const whole: SegmentHead = { format: "loftmark-history", version: 1, ...head };
  const rest = Buffer.from(lines.map((line) => `${JSON.stringify(line)}\n`).join(""));
  let headBytes = 0;
  await writeAtomically(join(directory, name), content());
  await dropOldest(directory, [...before, name]);
  return { name, headBytes, bytes: headBytes + rest.length };

  function* content(): Generator<Uint8Array> {
    for (const piece of jsonPieces(whole, 0)) {
      const bytes = Buffer.from(piece);
      headBytes += bytes.length;
      yield bytes;
    }
    headBytes++;
    yield Buffer.from("\n");
    yield rest;
  }
}

async function dropOldest(directory: string, names: readonly string[]): Promise<void> {
  let total = 0;
  for (const [i, name] of [...names].reverse().entries()) {
    total += await stat(join(directory, name)).then(
      ({ size }) => size,
      () => 0,
    );
    if (i >= FEWEST_KEPT && total > KEPT_BYTES) await rm(join(directory, name), { force: true });
  }
}

/**
 * The revision after a step, from the one before: the same steps from the same state
 * lead to the same revision.
 */
export function revisionAfter(revision: string, step: JournalStep): string {
  return createHash("sha256")
    .update(`${revision}\n${JSON.stringify(step.patch)}`)
    .digest("hex");
}
