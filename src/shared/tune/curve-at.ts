import {
  isAtLimit,
  type ModelCurve,
  type TunableInput,
  type TunableModel,
} from "../launchers/tunable-model.ts";

/**
 * A model's curve at values of its inputs, where those stated at a limit may lie beyond it. There the model
 * has nothing to say, but a fit that stops at a limit takes a standard uncertainty for none; so beyond it the
 * curve goes on as its image in the point at the limit, f(-x) = 2 f(0) - f(x), smooth to the first
 * derivative. All curves are held together at the end of their push.
 * @returns null where the model gives no launch
 */
export function curveAt(model: TunableModel, values: readonly number[]): ModelCurve | null {
  const { inputs } = model;
  const mirrored = inputs.map((input, i) => input.goesOn !== true && isBeyond(input, values[i]));
  if (!mirrored.includes(true)) return model.predict(values);
  const limit = model.predict(values.map((value, i) => (mirrored[i] ? limitOf(inputs[i], value) : value)));
  const image = model.predict(
    values.map((value, i) => (mirrored[i] ? 2 * limitOf(inputs[i], value) - value : value)),
  );
  if (limit === null || image === null) return null;
  const exitS = 2 * limit.exitS - image.exitS;
  return {
    exitS,
    exitTravelM: 2 * limit.exitTravelM - image.exitTravelM,
    exitSpeedMPerS: 2 * limit.exitSpeedMPerS - image.exitSpeedMPerS,
    slowingMPerS2: limit.slowingMPerS2,
    at(timeS) {
      const [one, other] = [limit, image].map((curve) => placeAt(curve, timeS - exitS + curve.exitS));
      return {
        travelM: 2 * one.travelM - other.travelM,
        speedMPerS: 2 * one.speedMPerS - other.speedMPerS,
      };
    },
  };
}

function placeAt(curve: ModelCurve, timeS: number) {
  return timeS <= 0 ? { travelM: 0, speedMPerS: 0 } : curve.at(timeS);
}

/** Whether a value lies beyond a limit at which its input was stated. */
export function isBeyond(input: TunableInput, value: number): boolean {
  const { low = -Infinity, high = Infinity } = input;
  return (value < low || value > high) && isAtLimit(input);
}

function limitOf({ low = -Infinity, high = Infinity }: TunableInput, value: number): number {
  return value < low ? low : high;
}
