/** One line of the table. */
export interface Figure {
  readonly what: string;
  readonly value: string;
  /**
   * What the value is held against, with whether it was met; null for a figure kept for
   * comparison with later runs.
   */
  readonly target: { readonly text: string; readonly met: boolean } | null;
}

export interface BenchPart {
  readonly title: string;
  readonly figures: readonly Figure[];
  /** What a reader needs to judge the figures of this run: counts, checks that passed. */
  readonly notes: readonly string[];
}

/**
 * The smallest of the values that at least the share `part` of them do not exceed: the
 * value of rank ceil(part n).
 * @throws RangeError without values, or when part is not in (0, 1]
 */
export function percentile(values: readonly number[], part: number): number {
  if (values.length === 0 || !(part > 0 && part <= 1)) {
    throw new RangeError(`percentile: need values and 0 < part <= 1; got ${values.length} values, ${part}`);
  }
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.ceil(part * sorted.length) - 1]!;
}

/** The middle value, or the mean of the two middle ones. @throws RangeError without values */
export function median(values: readonly number[]): number {
  if (values.length === 0) throw new RangeError("median: need at least one value");
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length / 2;
  return (sorted[Math.ceil(middle) - 1]! + sorted[Math.floor(middle)]!) / 2;
}

/** The median with the range it was found in, each as `word` writes it. */
export function spread(values: readonly number[], word: (value: number) => string): string {
  return `${word(median(values))} (${word(Math.min(...values))} to ${word(Math.max(...values))})`;
}

export function ms(value: number): string {
  return `${value.toFixed(value < 100 ? 1 : 0)} ms`;
}

export function ratio(value: number): string {
  return value.toFixed(value < 10 ? 3 : 1);
}

/** A part as lines of text: title, one line a figure in three columns, notes. */
export function partText({ title, figures, notes }: BenchPart): string {
  const width = (of: (figure: Figure) => string) => Math.max(...figures.map((figure) => of(figure).length));
  const [first, second] = [width((figure) => figure.what), width((figure) => figure.value)];
  const lines = figures.map(({ what, value, target }) => {
    const verdict = target === null ? "" : `target ${target.text}: ${target.met ? "met" : "NOT MET"}`;
    return `  ${what.padEnd(first)}  ${value.padEnd(second)}  ${verdict}`.trimEnd();
  });
  return [title, ...lines, ...notes.map((note) => `  · ${note}`), ""].join("\n");
}
