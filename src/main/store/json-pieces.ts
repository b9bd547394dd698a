const PIECE_LENGTH = 100_000; // characters: some ms of work, after which others may have their turn
const WALKED = 4; // levels that are taken apart: a session, its shots, a shot, its marks

/**
 * The text of `JSON.stringify(value, null, space)` in pieces, so that a document of any length keeps nobody
 * waiting and need not fit into one string.
 * @param value plain JSON; keys whose value is undefined are left out, as in JSON
 */
export function* jsonPieces(value: unknown, space: number): Generator<string> {
  let piece = "";
  for (const part of partsOf(value, space, "", WALKED)) {
    piece += part;
    if (piece.length < PIECE_LENGTH) continue;
    yield piece;
    piece = "";
  }
  if (piece !== "") yield piece;
}

function* partsOf(value: unknown, space: number, indent: string, levels: number): Generator<string> {
  if (typeof value !== "object" || value === null || levels === 0) {
    yield JSON.stringify(value ?? null, null, space).replaceAll("\n", `\n${indent}`);
    return;
  }
  const isList = Array.isArray(value);
  const entries = isList
    ? value.map((one) => ["", one] as const)
    : Object.entries(value).filter(([, one]) => one !== undefined);
  const [open, close] = isList ? "[]" : "{}";
  if (entries.length === 0) {
    yield `${open}${close}`;
    return;
  }
  const inner = space === 0 ? "" : `${indent}${" ".repeat(space)}`;
  const newLine = space === 0 ? "" : "\n";
  let before = `${open}${newLine}`;
  for (const [key, one] of entries) {
    yield `${before}${inner}${isList ? "" : `${JSON.stringify(key)}:${space === 0 ? "" : " "}`}`;
    yield* partsOf(one, space, inner, levels - 1);
    before = `,${newLine}`;
  }
  yield `${newLine}${space === 0 ? "" : indent}${close}`;
}
