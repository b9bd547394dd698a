import { spawn } from "node:child_process";

/** Runs a program to its end. @returns what it wrote @throws Error with what it said when it fails */
export function runProgram(path: string, args: readonly string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(path, args, { stdio: ["ignore", "pipe", "pipe"] });
    const said = { out: "", err: "" };
    child.stdout.on("data", (text: Buffer) => {
      said.out += text.toString();
    });
    child.stderr.on("data", (text: Buffer) => {
      said.err += text.toString();
    });
    child.on("error", reject);
    child.on("close", (code) => {
      if (code === 0) resolve(said.out);
      else reject(new Error(`${path} ended with ${code}: ${said.err.trim().split("\n").at(-1)}`));
    });
  });
}
