import { elementAt } from "../../shared/quantity/known-element.ts";
/** Lines up columns for a terminal: text to the left, two spaces between. Rows may be shorter than others. */
export function table(rows: readonly (readonly string[])[], indent = "  "): string {
  const columns = Math.max(0, ...rows.map((row) => row.length));
  const widths = Array.from({ length: columns }, (_, i) =>
    Math.max(...rows.map((row) => width(row[i] ?? ""))),
  );
  return rows
    .map((row) =>
      `${indent}${row.map((cell, i) => cell + " ".repeat(elementAt(widths, i) - width(cell))).join("  ")}`.trimEnd(),
    )
    .map((line) => `${line}\n`)
    .join("");
}

function width(text: string): number {
  return [...text].length;
}

/**
 * Breaks words into lines of at most `columns`, each after the indent; a word longer than that stands alone.
 */
export function wrapped(text: string, indent: string, columns = 100): string {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(" ")) {
    if (line !== "" && width(indent) + width(line) + 1 + width(word) > columns) {
      lines.push(line);
      line = word;
    } else {
      line = line === "" ? word : `${line} ${word}`;
    }
  }
  return [...lines, line].map((one) => `${indent}${one}\n`).join("");
}
