import { randomBytes } from "node:crypto";
import { machineTag, ownMark, type ProcessMark } from "./process-mark.ts";

const LONGEST_TARGET = 40; // characters; at most 120 bytes of the 255 that a name may have
const TEMPORARY = /^\..+\.([0-9a-f]{8})-(\d{1,10})-(\d{1,20}|x)-[0-9a-f]{12}\.tmp$/;

/** Which process a temporary name is of. */
export interface TemporaryOf {
  readonly machine: string;
  readonly pid: number;
  readonly started: string | null;
}

/**
 * The hidden name of what is being written before it is renamed to `target`. It says which process writes it,
 * so that what a process that is gone left over can be told from what another is writing now.
 */
export function temporaryName(target: string, mark: ProcessMark = ownMark()): string {
  const base = target.replace(/^\./, "").slice(0, LONGEST_TARGET);
  const chance = randomBytes(6).toString("hex");
  return `.${base}.${machineTag(mark)}-${mark.pid}-${mark.started ?? "x"}-${chance}.tmp`;
}

/** @returns null for any name that `temporaryName` does not give */
export function readTemporaryName(name: string): TemporaryOf | null {
  const [, machine, pid, started] = TEMPORARY.exec(name) ?? [];
  if (machine === undefined) return null;
  return { machine, pid: Number(pid), started: started === "x" ? null : started! };
}
