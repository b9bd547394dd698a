import { createReadStream } from "node:fs";
import { realpath, stat } from "node:fs/promises";
import { basename, dirname, isAbsolute, join } from "node:path";
import type { JobReply, JobRequest } from "../../shared/api/job-contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import type { IncomingClip } from "../store/add-clip.ts";
import { diskFault } from "../store/disk-fault.ts";
import type { FieldFolder } from "../store/field-folder.ts";
import { isMissing } from "../store/missing-file.ts";
import { sameContent } from "../store/same-content.ts";
import type { JobParts } from "./job-parts.ts";
import type { JobWork } from "./jobs.ts";
import { badRequest } from "./replies.ts";

type Asked<K extends JobRequest["kind"]> = Extract<JobRequest, { kind: K }>;

const PIECE_BYTES = 2 ** 20;

/** Brings a clip of this machine into the folder; one that lies in it, or whose copy does, is named only. */
export async function beginCopyClip(
  { folder, jobs }: JobParts,
  { kind, path }: Asked<"copy-clip">,
  window: string,
): Promise<JobReply> {
  const { clip, from, own } = await foundClip(folder, path);
  const doing = `Copying ${clip.name} into ${folder.name}`;
  if (own)
    return jobs.start({ kind, doing, window }, async () => ({ added: { name: clip.name, copied: false } }));
  await mustTakeUnlessThere(folder, clip, from);
  return jobs.start({ kind, doing, window }, async (job) => {
    if (await sameContent(from, join(folder.path, clip.name), job.signal))
      return { added: { name: clip.name, copied: false } };
    const content = createReadStream(from, { highWaterMark: PIECE_BYTES });
    return { added: await folder.addClip(clip, worded(content, clip.name), workOf(job, clip, doing)) };
  });
}

/** Takes a clip that a window sends: its content comes in a request of its own, which names the job. */
export async function beginReceiveClip(
  { folder, jobs, incoming }: JobParts,
  { kind, ...clip }: Asked<"receive-clip">,
  window: string,
): Promise<JobReply> {
  await folder.mustTakeClip(clip);
  const expected = incoming.expect(clip.name);
  const doing = `Copying ${clip.name} into ${folder.name}`;
  const reply = jobs.start({ kind, doing, window }, async (job) => {
    try {
      const content = await expected.content(job.signal);
      return { added: await folder.addClip(clip, content, workOf(job, clip, doing)) };
    } finally {
      expected.done();
    }
  });
  expected.awaitedBy(reply.id);
  return reply;
}

/** A clip by its path on this machine, and whether it lies in the folder itself. */
async function foundClip(
  folder: FieldFolder,
  path: string,
): Promise<{ readonly clip: IncomingClip; readonly from: string; readonly own: boolean }> {
  if (!isAbsolute(path)) throw badRequest("the path of the clip must be absolute");
  const name = basename(path);
  try {
    const [from, parent] = [await realpath(path), await realpath(dirname(path))];
    const stats = await stat(from);
    if (!stats.isFile()) throw noFile(name);
    const clip = { name, bytes: stats.size, modifiedMs: stats.mtimeMs };
    return { clip, from, own: parent === folder.path && (await isListed(folder, name)) };
  } catch (error) {
    throw isMissing(error) ? noFile(name) : diskFault(error, `${name} cannot be read`);
  }
}

async function isListed(folder: FieldFolder, name: string): Promise<boolean> {
  return (await folder.listClips()).some((one) => one.name === name && one.fault === undefined);
}

/** A folder that cannot be written still names a clip that it has. */
async function mustTakeUnlessThere(folder: FieldFolder, clip: IncomingClip, from: string): Promise<void> {
  try {
    await folder.mustTakeClip(clip);
  } catch (error) {
    if (!(await sameContent(from, join(folder.path, clip.name)))) throw error;
  }
}

async function* worded(content: AsyncIterable<Uint8Array>, name: string): AsyncIterable<Uint8Array> {
  try {
    yield* content;
  } catch (error) {
    throw diskFault(error, `${name} cannot be read`);
  }
}

function workOf({ signal, onProgress }: JobWork, { bytes }: IncomingClip, doing: string) {
  return { signal, onBytes: (done: number) => onProgress({ doing, fraction: done / bytes }) };
}

function noFile(name: string): FaultError {
  return new FaultError(
    "no-such-file",
    `${name} is not there any more, or is no file.`,
    "See where it is now, and drop it again.",
  );
}
