/**
 * A value as JSON with the keys of every object in order: equal for equal documents, whichever way they came
 * about. What JSON leaves out (undefined, functions) is left out.
 */
export function canonicalText(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([p], [q]) => (p < q ? -1 : 1)))
      : part,
  );
}

/**
 * 64 bits of a text as 16 hexadecimal digits: two runs of FNV-1a (Fowler, Noll and Vo, 32 bits) with
 * different offset bases. Tells documents apart; no guard against one who wants two of them to look the same.
 */
export function digestOf(text: string): string {
  return [0x811c9dc5, 0x1000193].map((basis) => hex(fnv1a(text, basis))).join("");
}

const PRIME = 0x01000193;

function fnv1a(text: string, basis: number): number {
  let hash = basis;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    hash = Math.imul(hash ^ (code & 0xff), PRIME);
    hash = Math.imul(hash ^ (code >> 8), PRIME);
  }
  return hash >>> 0;
}

function hex(word: number): string {
  return word.toString(16).padStart(8, "0");
}
