/**
 * Something that lowers the trust in a result without stopping it: a code and the numbers; each host
 * words it for its person.
 */
export interface Doubt<Code extends string> {
  readonly code: Code;
  readonly numbers: Readonly<Record<string, number>>;
}
