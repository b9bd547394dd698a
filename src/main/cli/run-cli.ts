import { parseArgs } from "node:util";
import type { Fault } from "../../shared/quantity/notice.ts";
import type { Progress } from "../media/media.ts";
import { faultFrom } from "../service/replies.ts";
import { carryVerb } from "./carry.ts";
import { curveVerb } from "./curve.ts";
import { exampleVerb } from "./example.ts";
import { followVerb } from "./follow.ts";
import { inspectVerb } from "./inspect.ts";
import { measureVerb } from "./measure.ts";
import { nextShotVerb } from "./next-shot.ts";
import { onBoardVerb } from "./on-board.ts";
import { outingsVerb } from "./outings.ts";
import { planCameraVerb } from "./plan-camera.ts";
import { predictVerb } from "./predict.ts";
import { schemaVerb } from "./schema.ts";
import { serveVerb } from "./serve.ts";
import { shelfVerb } from "./shelf.ts";
import { steadyVerb } from "./steady.ts";
import { tuneVerb } from "./tune.ts";
import { type Terminal, tellBug, UsageError, type Verb } from "./verb.ts";

const VERBS: readonly Verb[] = [
  carryVerb,
  curveVerb,
  exampleVerb,
  followVerb,
  inspectVerb,
  measureVerb,
  nextShotVerb,
  onBoardVerb,
  outingsVerb,
  planCameraVerb,
  predictVerb,
  schemaVerb,
  serveVerb,
  shelfVerb,
  steadyVerb,
  tuneVerb,
];

/**
 * Runs one command line.
 * @param argv the arguments after the program
 * @returns the exit status: 0 done; 1 could not, with cause and remedy on standard error (and as { error } on
 *   standard output with --json); 2 the arguments do not fit
 */
export async function runCli(argv: readonly string[], terminal: Terminal): Promise<number> {
  const [name, ...rest] = argv;
  if (name === undefined || name === "--help" || name === "-h" || name === "help") {
    terminal[name === undefined ? "err" : "out"](overview());
    return name === undefined ? 2 : 0;
  }
  const verb = VERBS.find((one) => one.name === name);
  if (verb === undefined) {
    terminal.err(`There is no verb "${name}".\n\n${overview()}`);
    return 2;
  }
  const json = rest.includes("--json");
  try {
    return await runVerb(verb, rest, terminal);
  } catch (error) {
    if (error instanceof UsageError || isParseError(error)) {
      terminal.err(`${(error as Error).message}\n\n${helpOf(verb)}`);
      return 2;
    }
    const fault = faultFrom(error, (bug) => tellBug(terminal, bug), terminal.signal);
    tellFault(terminal, fault, json);
    return 1;
  }
}

/**
 * Writes why something could not be done: words on standard error and, with --json, {
 * error } on standard output.
 */
function tellFault(terminal: Terminal, fault: Fault, json: boolean): void {
  if (json) terminal.out(`${JSON.stringify({ error: fault }, null, 2)}\n`);
  terminal.err(`${fault.cause}\n${fault.remedy}\n`);
}

async function runVerb(verb: Verb, args: readonly string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parseArgs({
    args: [...args],
    options: { ...verb.options, json: { type: "boolean" }, help: { type: "boolean", short: "h" } },
    allowPositionals: true,
  });
  if (values.help === true) {
    terminal.out(helpOf(verb));
    return 0;
  }
  const [fewest, most] = verb.operands;
  if (positionals.length < fewest) throw new UsageError(`"${verb.name}" needs more: ${verb.usage}.`);
  if (positionals.length > most) {
    throw new UsageError(`"${verb.name}" does not know what to do with "${positionals[most]}".`);
  }
  const progress = progressLine(terminal);
  const out = (text: string) => {
    progress.clear();
    terminal.out(text);
  };
  try {
    return await verb.run({
      operands: positionals,
      options: values as Record<string, string | boolean | undefined>,
      json: values.json === true,
      terminal: { ...terminal, out },
      onProgress: progress.show,
    });
  } finally {
    progress.clear();
  }
}

/** One line that is rewritten in place; nothing at all where standard error is no terminal. */
function progressLine(terminal: Terminal) {
  let shown = "";
  return {
    show({ fraction, doing }: Progress) {
      const line = `${String(Math.floor(fraction * 100)).padStart(3)} %  ${doing}`;
      if (!terminal.showsProgress || line === shown) return;
      terminal.err(`\r\u001b[K${line}`);
      shown = line;
    },
    clear() {
      if (shown !== "") terminal.err("\r\u001b[K");
      shown = "";
    },
  };
}

function overview(): string {
  const lines = VERBS.map((verb) => [`  ${verb.name} ${verb.usage}`, verb.summary] as const);
  const width = Math.max(...lines.map(([left]) => left.length));
  return [
    "Loftmark measures what a launcher did to a small airframe, from slow-motion footage.",
    "",
    "loftmark VERB ...",
    ...lines.map(([left, right]) => `${left.padEnd(width)}   ${right}`),
    "",
    "Each takes --json (the result as JSON) and --help.",
    "Exit status: 0 done, 1 could not (with cause and remedy), 2 the arguments do not fit;",
    "130 or 143 when it was stopped by Ctrl-C or by a request to end.",
    "",
  ].join("\n");
}

function helpOf(verb: Verb): string {
  return [
    `loftmark ${verb.name} ${verb.usage} [--json]`.replace(/ {2,}/g, " "),
    "",
    verb.summary,
    ...verb.details.map((line) => `  ${line}`),
    "",
  ].join("\n");
}

function isParseError(error: unknown): boolean {
  return String((error as NodeJS.ErrnoException | null)?.code).startsWith("ERR_PARSE_ARGS");
}
