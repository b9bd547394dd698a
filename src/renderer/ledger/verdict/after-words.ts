import { bankLoadFactor, steepestBank } from "../../../shared/launch/flight-after.ts";
import { DEGREE } from "../../../shared/quantity/angle.ts";
import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { ShotResult } from "../../../shared/results/shot-result.ts";

const TURN = 45 * DEGREE; // the bank a pilot turns with

/**
 * The flight after release in sentences, of the measurement where there is one, else of the prediction: what
 * the wing can carry and how far it may be banked, where the nose comes to, what time is left. A sentence
 * stands only where its numbers do.
 */
export function afterSays(result: ShotResult | null, units: UnitSet): readonly string[] {
  const quantities = result?.measurement?.quantities ?? result?.prediction?.quantities ?? {};
  const { liftAvailable, pitchAfterOneSecond, timeToGround } = quantities;
  const sentences: string[] = [];
  if (liftAvailable !== undefined) {
    const n = showMeasured(liftAvailable, "1", units).text;
    const bank = Math.floor(steepestBank(liftAvailable.value) / DEGREE);
    const turn =
      bank === 0
        ? "it cannot be flown level yet"
        : liftAvailable.value >= bankLoadFactor(TURN)
          ? `a level turn banked up to ${bank}° is within it`
          : `a turn banked beyond ${bank}° sinks or stalls`;
    sentences.push(`At release the wing can carry ${n} times the weight: ${turn}.`);
  }
  if (pitchAfterOneSecond !== undefined) {
    const pitch = showMeasured(pitchAfterOneSecond, "rad", units, true).text;
    sentences.push(
      `If nothing stopped its turning, the nose would stand at ${pitch} after a second; the air damps it, so this is a bound.`,
    );
  }
  if (timeToGround !== undefined) {
    const shown = showMeasured(timeToGround, "s", units).text;
    sentences.push(
      `Without any control it reaches the ground ${shown} after release: that is the time there is to take over.`,
    );
  }
  return sentences;
}
