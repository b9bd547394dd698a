/** Why a computation declined, with the numbers that would do; each host words it for its person. */
export interface Refusal<Code extends string> {
  readonly ok: false;
  readonly code: Code;
  readonly numbers: Readonly<Record<string, number>>;
}

export interface Success<T> {
  readonly ok: true;
  readonly value: T;
}

/** Either a value or a refusal: unusable data is no exception, a caller's bug (RangeError) is. */
export type Result<T, Code extends string> = Success<T> | Refusal<Code>;

/** Wraps a value as a success. */
export function ok<T>(value: T): Success<T> {
  return { ok: true, value };
}

/** Makes a refusal from its code and the numbers a person needs to put it right. */
export function refuse<Code extends string>(
  code: Code,
  numbers: Readonly<Record<string, number>> = {},
): Refusal<Code> {
  return { ok: false, code, numbers };
}

/**
 * @returns the value of a success.
 * @throws Error naming the code and numbers of a refusal: for callers who know better.
 */
export function unwrap<T, Code extends string>(result: Result<T, Code>): T {
  if (result.ok) return result.value;
  throw new Error(`refused: ${result.code} ${JSON.stringify(result.numbers)}`);
}
