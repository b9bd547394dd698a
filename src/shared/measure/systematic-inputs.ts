import { isClockAssumed } from "./assumed.ts";
import { errorKey } from "./common-error.ts";
import { type SystematicInput, statedInputs } from "./input-state.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { withPartRates } from "./part-inputs.ts";
import { pictureInputs } from "./picture-inputs.ts";

/**
 * Every systematic input of a shot: those of the picture, clock rate, centre of gravity, the hand marks that
 * a follower's marks depend on. Each is done to what the document holds, so no formula is written twice, and
 * any of them may be moved together.
 */
export function systematicInputs(setUp: MeasuringSetUp): readonly SystematicInput[] {
  const ofRate = setUp.clock.parts.length > 0 ? withPartRates : withRate;
  const { shared, own } = ofRate(pictureInputs(setUp), setUp);
  return [...shared, ...own, ...axisInputs(setUp), ...followerInputs(setUp)];
}

/**
 * Inputs with what each does to the capture rate, where that rests on checks that share them: a rod too
 * long makes lengths too long and, under a drop, the rate too low, and a speed has half of the error. `own`
 * is what the rate is uncertain by besides.
 * Source: JCGM 100:2008, 5.2 (correlated inputs).
 */
function withRate(inputs: readonly SystematicInput[], { filmed, axis, clock }: MeasuringSetUp) {
  // Checks in other shots know the inputs as the document has them, not steadied.
  const held = statedInputs(filmed.shot, { filmed, axis });
  let sharedVariance = 0;
  const shared = inputs.map((input): SystematicInput => {
    if (clock.rateErrors.size === 0) return input;
    const byRate = clock.rateErrors.get(errorKey(held, input.move(held, 1))) ?? 0;
    if (byRate === 0) return input;
    sharedVariance += byRate ** 2;
    return {
      ...input,
      move: (state, z) => {
        const moved = input.move(state, z);
        return { ...moved, stretch: moved.stretch / (1 + z * byRate) };
      },
    };
  });
  const u = Math.sqrt(Math.max(0, clock.clock.relativeU ** 2 - sharedVariance));
  const own: SystematicInput = {
    source: "clock",
    assumed: isClockAssumed(filmed.shot.clock),
    move: (state, z) => ({ ...state, stretch: state.stretch * (1 + z * u) }),
  };
  return { shared, own: [own] };
}

function axisInputs({ axisU, filmed }: MeasuringSetUp): readonly SystematicInput[] {
  return (["alongM", "aboveM"] as const).map((name) => ({
    source: "centre of gravity",
    assumed: filmed.airframe.centreOfGravity?.[name].assumed ?? filmed.airframe.centreOfGravity === null,
    move: (state, z) => ({ ...state, axis: { ...state.axis, [name]: state.axis[name] + z * axisU[name] } }),
  }));
}

const UNTOLD_U_PX = 0.5; // of a hand mark that was since removed: what a hand does at a moderate zoom

/**
 * The follower's marks of a point share the error of the hand marks they depend on: 1/√Σ
 * 1/u², along either axis.
 */
function followerInputs({ shot, pointIds }: MeasuringSetUp): readonly SystematicInput[] {
  return pointIds.flatMap((pointId) => {
    const own = shot.marks.filter((mark) => mark.pointId === pointId);
    if (!own.some(({ by }) => by === "follower")) return [];
    const weight = own.filter(({ by }) => by === "hand").reduce((sum, { u }) => sum + 1 / u ** 2, 0);
    const u = weight > 0 ? 1 / Math.sqrt(weight) : UNTOLD_U_PX;
    return ([0, 1] as const).map(
      (axis): SystematicInput => ({
        source: "marks",
        move: (state, z) => {
          const before = state.followedPx[pointId] ?? [0, 0];
          const at = axis === 0 ? [before[0] + z * u, before[1]] : [before[0], before[1] + z * u];
          return { ...state, followedPx: { ...state.followedPx, [pointId]: at as [number, number] } };
        },
      }),
    );
  });
}
