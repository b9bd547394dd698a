import { spawn } from "node:child_process";
import { join } from "node:path";
import { RAM_CASES } from "../shared/launch/ram/ram-cases.ts";

const RUNS = 5;

/** What scipy's solve_ivp does on the six cases: processor ms and exit speed of each, and its version. */
export interface ScipyFigures {
  readonly scipy: string;
  readonly cases: Readonly<
    Record<keyof typeof RAM_CASES, { readonly ms: number; readonly exitSpeedMPerS: number }>
  >;
}

/**
 * Runs tools/reference/ram_scipy.py.
 * @returns its figures; null where there is no Python 3 with scipy
 * @throws Error when the script fails
 */
export async function scipyFigures(relTol: number): Promise<ScipyFigures | null> {
  if ((await python(["-c", "import numpy, scipy.integrate"], "")) === null) return null;
  // The program is in out/bench/program.
  const script = join(import.meta.dirname, "..", "..", "..", "tools", "reference", "ram_scipy.py");
  const answer = await python([script], JSON.stringify({ relTol, runs: RUNS, cases: RAM_CASES }));
  if (answer === null) throw new Error(`${script} failed.`);
  return JSON.parse(answer) as ScipyFigures;
}

/** What Python wrote, or null when it could not be started or ended badly. */
export function python(args: readonly string[], input: string): Promise<string | null> {
  return new Promise((resolve) => {
    const child = spawn("python3", args, { stdio: ["pipe", "pipe", "ignore"] });
    let out = "";
    child.stdout.on("data", (text: Buffer) => {
      out += text.toString();
    });
    child.on("error", () => resolve(null));
    child.on("close", (code) => resolve(code === 0 ? out : null));
    child.stdin.on("error", () => undefined); // it ended without reading: its code tells
    child.stdin.end(input);
  });
}
