import { type ChildProcess, spawn } from "node:child_process";

/** A program of Node's in a process of its own, heard line by line. */
export interface NodeRun {
  readonly child: ChildProcess;
  /** Every whole line it has written so far. */
  readonly lines: readonly string[];
  /** Settles when it has written a line that fits; rejects when it ends first. */
  line(fits: RegExp): Promise<string>;
  /** Writes to it; null ends what it reads. */
  say(text: string | null): void;
  /** How it ended; `lines` is then complete. */
  readonly end: Promise<{
    readonly code: number | null;
    readonly signal: string | null;
    readonly err: string;
  }>;
}

export function runNode(program: string, args: readonly string[], cwd?: string): NodeRun {
  const child = spawn(process.execPath, [program, ...args], { stdio: ["pipe", "pipe", "pipe"], cwd });
  const lines: string[] = [];
  const waiting = new Set<() => void>();
  let [rest, err, ended] = ["", "", false];
  const wake = () => {
    for (const look of [...waiting]) look();
  };
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    const parts = (rest + text).split("\n");
    rest = parts.pop() ?? "";
    lines.push(...parts);
    wake();
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  const end = new Promise<{ code: number | null; signal: string | null; err: string }>((resolve, reject) => {
    child.on("error", reject);
    child.on("close", (code, signal) => {
      ended = true;
      wake();
      resolve({ code, signal, err });
    });
  });
  child.stdin.on("error", () => {}); // A killed program reads no more; how it ended is told by `end`.
  return {
    child,
    say: (text) => void (text === null ? child.stdin.end() : child.stdin.write(text)),
    lines,
    end,
    line: (fits) =>
      new Promise((resolve, reject) => {
        const look = () => {
          const found = lines.find((line) => fits.test(line));
          if (found === undefined && !ended) return;
          waiting.delete(look);
          if (found !== undefined) resolve(found);
          else reject(new Error(`ended before it wrote ${fits}: ${err}`));
        };
        waiting.add(look);
        look();
      }),
  };
}
