import { runCli } from "../../src/main/cli/run-cli.ts";

export interface CliEnd {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

/** Runs one command line in this process, with strings for the terminal. */
export async function cli(
  argv: readonly string[],
  options: {
    readonly cwd?: string;
    readonly signal?: AbortSignal;
    readonly showsProgress?: boolean;
    /** Hears the error stream as it comes. */
    readonly onErr?: (text: string) => void;
  } = {},
): Promise<CliEnd> {
  let [out, err] = ["", ""];
  const status = await runCli(argv, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
      options.onErr?.(text);
    },
    showsProgress: options.showsProgress ?? false,
    cwd: options.cwd ?? "/",
    signal: options.signal ?? new AbortController().signal,
  });
  return { status, out, err };
}
