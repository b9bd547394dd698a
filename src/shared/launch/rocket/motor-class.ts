/**
 * Letters of model and high-power rocket motors, smallest first. Each holds the total impulses above
 * the letter before and up to its own limit, which doubles from letter to letter: 0.3125 N·s for 1/8A,
 * 2.5 for A, 40 960 for O.
 * Source: the classes of NFPA 1125, as the National Association of Rocketry (USA) publishes them.
 */
const MOTOR_LETTERS = [
  "1/8A",
  "1/4A",
  "1/2A",
  "A",
  "B",
  "C",
  "D",
  "E",
  "F",
  "G",
  "H",
  "I",
  "J",
  "K",
  "L",
  "M",
  "N",
  "O",
] as const;

export type MotorLetter = (typeof MOTOR_LETTERS)[number];

export interface MotorClass {
  readonly letter: MotorLetter;
  /** N·s, impulses of the class are above the first and up to the second. */
  readonly aboveNs: number;
  readonly upToNs: number;
}

const SMALLEST_NS = 0.3125;
const ROUNDING = 1e-9; // 2 × 5 N·s summed in doubles is still a C

/**
 * The letter of a total impulse, N·s; a limit belongs to the smaller letter. For several motors,
 * of all that are installed.
 * @returns null above the largest letter
 * @throws RangeError when the impulse is not positive and finite
 */
export function motorClass(totalImpulseNs: number): MotorClass | null {
  if (!(totalImpulseNs > 0 && totalImpulseNs < Infinity)) {
    throw new RangeError(`motorClass: impulse must be > 0; got ${totalImpulseNs}`);
  }
  const at = MOTOR_LETTERS.findIndex((_, k) => totalImpulseNs <= SMALLEST_NS * 2 ** k * (1 + ROUNDING));
  const letter = MOTOR_LETTERS[at];
  if (letter === undefined) return null;
  return { letter, aboveNs: at === 0 ? 0 : SMALLEST_NS * 2 ** (at - 1), upToNs: SMALLEST_NS * 2 ** at };
}
