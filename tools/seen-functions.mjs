import { parseAst } from "rolldown/parseAst";

/*
 * Which functions of a source a test runs: each notes itself when it is entered. A fault inside a function
 * that no test enters cannot be noticed, and the tests that do not enter it need not be run.
 */

/** @typedef {{ start: number, end: number, body: any }} Ranged */

/** The set in which marked functions note themselves. */
export const SEEN = "LOFTMARK_SEEN_FUNCTIONS";

/**
 * The source with each function noting its name as it is entered, and the file as it is loaded.
 * @param {string} file from the root  @param {string} source
 * @returns {string}
 */
export function markFunctions(file, source) {
  const note = (/** @type {number | null} */ start) =>
    `(globalThis.${SEEN} ??= new Set()).add(${JSON.stringify(nameOf(file, start))})`;
  /** @type {[at: number, text: string][]} */
  const marks = functionsOf(file, source).flatMap(({ start, body }) =>
    body.type === "BlockStatement"
      ? [[body.start + 1, ` ${note(start)};`]]
      : [
          [body.start, `(${note(start)}, `],
          [body.end, ")"],
        ],
  );
  let marked = source;
  // From the end: no mark moves another. Of two at one place the inner one's closing comes first.
  for (const [at, text] of marks.sort(([a], [b]) => b - a)) {
    marked = marked.slice(0, at) + text + marked.slice(at);
  }
  return `${note(null)};${marked}`;
}

/**
 * @param {string} file from the root  @param {string} source
 * @returns {(position: number) => string} the name of the innermost function around it, or of the file
 */
export function functionAround(file, source) {
  const found = functionsOf(file, source);
  return (position) => {
    const around = found.filter(({ start, end }) => start <= position && position < end);
    const inner = around.sort((a, b) => a.end - a.start - (b.end - b.start))[0];
    return nameOf(file, inner?.start ?? null);
  };
}

/** @param {string} file  @param {number | null} start  @returns {string} */
function nameOf(file, start) {
  return start === null ? file : `${file}:${start}`;
}

/** @param {string} file  @param {string} source  @returns {Ranged[]} */
function functionsOf(file, source) {
  /** @type {Ranged[]} */
  const found = [];
  const walk = (/** @type {any} */ node) => {
    if (node === null || typeof node !== "object") return;
    if (/^(FunctionDeclaration|FunctionExpression|ArrowFunctionExpression)$/.test(node.type) && node.body) {
      found.push({ start: node.start, end: node.end, body: node.body });
    }
    for (const one of Object.values(node)) walk(one);
  };
  walk(parseAst(source, { lang: file.endsWith("x") ? "tsx" : "ts" }));
  return found;
}
