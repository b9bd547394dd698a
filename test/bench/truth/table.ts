export const rms = (x: readonly number[]) => Math.sqrt(x.reduce((sum, v) => sum + v * v, 0) / x.length);
export const mean = (x: readonly number[]) => x.reduce((sum, v) => sum + v, 0) / x.length;
export const median = (x: readonly number[]) =>
  [...x].sort((a, b) => a - b)[Math.floor(x.length / 2)] as number;

export function percent(share: number, places: number): string {
  return `${(100 * share).toFixed(places)} %`;
}

/** Prints a row of the table: what, found, asked. */
export function row(...cells: readonly string[]): void {
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(68) : cell.padStart(14))).join(""));
}
