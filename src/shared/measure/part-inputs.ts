import { isSameRate, type PartMove } from "../clock/clock-parts.ts";
import { isClockAssumed } from "./assumed.ts";
import type { PartInUse } from "./clock-of-parts.ts";
import { errorKey } from "./common-error.ts";
import { type InputState, type SystematicInput, statedInputs } from "./input-state.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";

/**
 * As with one rate, of a clip with parts: inputs with what each does to the rates that rest on checks that
 * share them, and for itself what is left of the u of each rate, one input for all parts that state it, and
 * each border.
 * Source: JCGM 100:2008, 5.2 (correlated inputs).
 */
export function withPartRates(
  inputs: readonly SystematicInput[],
  { filmed, axis, clock }: MeasuringSetUp,
): { readonly shared: readonly SystematicInput[]; readonly own: readonly SystematicInput[] } {
  const held = statedInputs(filmed.shot, { filmed, axis });
  const assumed = isClockAssumed(filmed.shot.clock);
  const rates = clock.parts.filter(
    (part, k) => clock.parts.findIndex((one) => isSameRate(one.stated, part.stated)) === k,
  );
  const sharedVariance = new Map<PartInUse, number>();
  const shared = inputs.map((input): SystematicInput => {
    const key = errorKey(held, input.move(held, 1));
    const byRate = rates.flatMap((part) => {
      const relative = part.errors.get(key) ?? 0;
      if (relative === 0) return [];
      sharedVariance.set(part, (sharedVariance.get(part) ?? 0) + relative ** 2);
      return [{ rate: part.stated, relative }];
    });
    if (byRate.length === 0) return input;
    return {
      ...input,
      move: (state, z) =>
        byRate.reduce<InputState>(
          (now, { rate, relative }) => moved(now, { of: "rate", rate, longer: 1 / (1 + z * relative) - 1 }),
          input.move(state, z),
        ),
    };
  });
  const ofRates = rates.map((part): SystematicInput => {
    const { value, u } = part.captureRateHz;
    const left = Math.sqrt(Math.max(0, (u / value) ** 2 - (sharedVariance.get(part) ?? 0)));
    return {
      source: "clock",
      assumed,
      move: (state, z) => moved(state, { of: "rate", rate: part.stated, longer: z * left }),
    };
  });
  const ofBorders = clock.parts.flatMap(({ from }, at): readonly SystematicInput[] =>
    at === 0
      ? []
      : [
          {
            source: "clock",
            assumed,
            move: (state, z) => moved(state, { of: "border", at, frames: z * from.u }),
          },
        ],
  );
  return { shared, own: [...ofRates, ...ofBorders] };
}

function moved(state: InputState, move: PartMove): InputState {
  return { ...state, clockMoves: [...state.clockMoves, move] };
}
