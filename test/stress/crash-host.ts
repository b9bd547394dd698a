import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type NodeRun, runNode } from "../support/run-node.ts";

/** Where a test keeps everything; processes are known by it. */
export interface CrashPlace {
  readonly folder: string;
  readonly cache: string;
}

/** The built program. */
const CLI = () => join(process.cwd(), "out", "main", "cli.js");

/** The loopback host in a process of its own. */
export interface ServedHost {
  readonly url: string;
  readonly id: string;
  readonly token: string;
  readonly pid: number;
  /** Whether it was killed, or has ended by itself. */
  ended(): boolean;
  /** Resolves when it is gone. @returns what it wrote to its terminal */
  kill(): Promise<string>;
}

export function runProgram(place: CrashPlace, args: readonly string[]): NodeRun {
  process.env.LOFTMARK_CACHE = place.cache; // by which every process of this test is known
  return runNode(CLI(), args);
}

export async function serve(place: CrashPlace): Promise<ServedHost> {
  const run = runProgram(place, ["serve", place.folder]);
  const line = await run.line(/http:/);
  const address = new URL(/http:\S+/.exec(line)![0]);
  const token = address.searchParams.get("token")!;
  const info = await fetch(`${address.origin}/host/info`, { headers: { authorization: `Bearer ${token}` } });
  const { id } = (await info.json()) as { id: string };
  let killed = false;
  return {
    url: address.origin,
    id,
    token,
    pid: run.child.pid!,
    ended: () => killed || run.child.exitCode !== null,
    async kill() {
      killed = true;
      run.child.kill("SIGKILL");
      return (await run.end).err;
    },
  };
}

/**
 * Programs that work in the cache though no process that started them is there; none where
 * the system does not tell.
 */
export function orphans(cache: string, host: number): readonly string[] {
  const found = programs().filter(({ environment }) => environment.includes(`LOFTMARK_CACHE=${cache}\0`));
  const parents = new Map(found.map(({ pid, parent }) => [pid, parent]));
  const belongs = (pid: number): boolean => pid === host || pid === process.pid || belongsTo(pid);
  const belongsTo = (pid: number) => (parents.has(pid) ? belongs(parents.get(pid)!) : false);
  return found.filter(({ pid }) => !belongs(pid)).map(({ pid, command }) => `${pid} ${command}`);
}

function programs() {
  const names = process.platform === "linux" ? readdirSync("/proc").filter((name) => /^\d+$/.test(name)) : [];
  return names.flatMap((name) => {
    try {
      const environment = `${readFileSync(`/proc/${name}/environ`, "utf8")}\0`;
      const status = readFileSync(`/proc/${name}/stat`, "utf8");
      const [state, parent] = status.slice(status.lastIndexOf(")") + 2).split(" ");
      const command = readFileSync(`/proc/${name}/cmdline`, "utf8").replaceAll("\0", " ");
      return state === "Z" ? [] : [{ pid: Number(name), parent: Number(parent), environment, command }];
    } catch {
      return []; // it has ended, or is another person's
    }
  });
}
