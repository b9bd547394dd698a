/**
 * Ways the example launch can be filmed. The launch is the same in all of them; the camera is not.
 * - plain: a still camera with a perfect lens, square to the flight, all rows at once, evenly timed
 * - lens: straight lines come out bent
 * - turned: the flight is turned 15° away from the picture, its far end on the right
 * - shutter: rows are read from top to bottom in 6 ms
 * - shake: the camera is held in the hand; three posts stand in view
 * - hand: the camera is held in the hand, and nothing is set up to take that out
 * - pan: the camera is swung after the airframe by 9°, and nothing is set up to take that out
 * - repeats: every seventh frame was lost and shows the one before it again
 * - irregular: frames are taken at uneven times, some lost; the file plays in real time
 * - all: everything together but hand and pan
 */
export const EXAMPLE_VARIANTS = [
  "plain",
  "lens",
  "turned",
  "shutter",
  "shake",
  "hand",
  "pan",
  "repeats",
  "irregular",
  "all",
] as const;

export type ExampleVariant = (typeof EXAMPLE_VARIANTS)[number];

/** Whether a variant is filmed with one of the faults. */
export function hasFault(variant: ExampleVariant, fault: Exclude<ExampleVariant, "plain" | "all">): boolean {
  return variant === fault || (variant === "all" && fault !== "hand" && fault !== "pan");
}
