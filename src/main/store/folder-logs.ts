import { createHash } from "node:crypto";
import { readdir, readFile, realpath, stat } from "node:fs/promises";
import { extname, join } from "node:path";
import type { LogReply } from "../../shared/api/contract.ts";
import { FaultError } from "../../shared/quantity/notice.ts";
import { mustBeClipName } from "./clip-name.ts";
import { diskFault } from "./disk-fault.ts";
import { mustBeInside } from "./inside-folder.ts";
import { isMissing } from "./missing-file.ts";

const LOG_EXTENSIONS = new Set([".csv", ".txt", ".tsv"]);
const MOST_BYTES = 32 * 1024 * 1024; // 200 000 lines of 160 characters

/** The files directly in a folder that may be logs, in the order a person counts. */
export async function listLogs(folder: string): Promise<readonly string[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch((error: unknown) => {
    throw diskFault(error, "The field folder cannot be read");
  });
  const order = new Intl.Collator("en", { numeric: true });
  return entries
    .filter((entry) => entry.isFile() && !entry.name.startsWith("."))
    .map(({ name }) => name)
    .filter((name) => LOG_EXTENSIONS.has(extname(name).toLowerCase()))
    .sort(order.compare);
}

/**
 * A log by its plain file name: its text, and the fingerprint of the whole file.
 * @throws FaultError "bad-clip-name", "no-such-log", "outside-folder" or "log-too-large"
 */
export async function readFolderLog(folder: string, name: string, platform?: string): Promise<LogReply> {
  mustBeClipName(name, platform);
  const missing = () =>
    new FaultError(
      "no-such-log",
      `There is no log "${name}" in the field folder.`,
      "Copy the log into the field folder as a CSV file, or choose another.",
    );
  const failed = (error: unknown) =>
    isMissing(error) ? missing() : diskFault(error, `The log "${name}" cannot be read`);
  if (!LOG_EXTENSIONS.has(extname(name).toLowerCase())) throw missing();
  try {
    const path = await realpath(join(folder, name));
    mustBeInside(folder, path, `The log "${name}"`);
    const stats = await stat(path);
    if (!stats.isFile()) throw missing();
    if (stats.size > MOST_BYTES) {
      throw new FaultError(
        "log-too-large",
        `The log "${name}" has ${Math.round(stats.size / 1e6)} MB.`,
        `Cut it to the shot, or thin it, to ${MOST_BYTES / 1024 / 1024} MB or less.`,
      );
    }
    const content = await readFile(path);
    const fingerprint = `sha256-${createHash("sha256").update(content).digest("hex")}`;
    return { name, bytes: content.length, fingerprint, text: content.toString("utf8") };
  } catch (error) {
    throw error instanceof FaultError ? error : failed(error);
  }
}
