/** A cell: numbers are written in full, text is quoted where it must be, null is empty. */
export type Cell = number | string | null;

/**
 * A table as CSV by RFC 4180: comma, CRLF, quotes doubled, a header row. Numbers are the shortest digits that
 * read back as the same double. Text a spreadsheet would run as a formula (it begins with = + - @, tab or
 * return) gets a leading apostrophe; numbers never do.
 * @throws RangeError at a number that is not finite, or a row of another length than the header
 */
export function csvText(header: readonly string[], rows: readonly (readonly Cell[])[]): string {
  for (const row of rows) {
    if (row.length !== header.length) {
      throw new RangeError(`csvText: need ${header.length} cells in a row; got ${row.length}`);
    }
  }
  return [header, ...rows].map((row) => `${row.map(cellText).join(",")}\r\n`).join("");
}

function cellText(cell: Cell): string {
  if (cell === null) return "";
  if (typeof cell === "number") {
    if (!Number.isFinite(cell)) throw new RangeError(`csvText: need finite numbers; got ${cell}`);
    return String(cell);
  }
  const harmless = /^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}
