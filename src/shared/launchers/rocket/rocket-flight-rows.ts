import type { PathToGround } from "../../launch/path-to-ground.ts";
import { flyRocket } from "../../launch/rocket/rocket-flight.ts";
import type { RocketInputs, RocketPrediction } from "../../launch/rocket/rocket-inputs.ts";
import { ifIntegrable } from "../../numeric/if-integrable.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import type { QuantityName } from "../../results/shot-result.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import { aboveZero, type UncertainInput, zeroOrMore } from "../../uncertainty/propagate.ts";
import { unflownAir } from "../unflown-air.ts";

/** The flight at one set of inputs, NaN where it is still up after two minutes. */
type FlightNumbers = Readonly<
  Record<
    "apogee" | "timeToGround" | "range" | "windDrift" | "sideDrift" | "impactSpeed" | "stabilityMargin",
    number
  >
>;
type FlightName = keyof FlightNumbers & QuantityName;

/** Results that tell where an airframe comes down; where no path can be told there are none. */
export const WHERE_IT_COMES_DOWN: readonly QuantityName[] = [
  "apogee",
  "timeToGround",
  "range",
  "windDrift",
  "sideDrift",
  "impactSpeed",
] satisfies readonly FlightName[];

export interface RocketFlightModel {
  /** What it takes beside the boost's inputs. */
  readonly inputs: readonly UncertainInput[];
  readonly rows: readonly (readonly [name: FlightName, unit: Unit, how: string])[];
  /** @param at values of `inputs` by name */
  numbersAt(boost: RocketInputs, run: RocketPrediction, at: (name: string) => number): FlightNumbers;
}

/** The flight after the cradle and the stability margin, as far as the document holds what they take. */
export function rocketFlightModel({ airframe, conditions }: LaunchedShot): RocketFlightModel {
  const { bodyDiameterM, pressureBehindM, dragAreaM2 } = airframe;
  const { crosswindMPerS, releaseHeightM, assumed } = unflownAir(conditions);
  const blows = conditions.headwindMPerS.value !== 0 || conditions.headwindMPerS.u > 0;
  const margin: readonly [diameterM: Measured, behindM: Measured] | null =
    bodyDiameterM && pressureBehindM ? [bodyDiameterM, pressureBehindM] : null;
  const air = dragAreaM2
    ? "drag of the area entered"
    : "no drag, for no drag area is entered: an upper bound";
  const basis = `nobody steers, no lift, nose and thrust into the air that comes; ${air}${assumed.height}${assumed.crosswind}; u from the inputs, none for the model itself`;
  return {
    inputs: [
      { name: "crosswindMPerS", ...crosswindMPerS },
      zeroOrMore("releaseHeightM", releaseHeightM),
      ...(margin === null
        ? []
        : [aboveZero("bodyDiameterM", margin[0]), { name: "pressureBehindM", ...margin[1] }]),
    ],
    rows: [
      ["apogee", "m", `greatest height above the end of the cradle; ${basis}`],
      ["timeToGround", "s", `from leaving the cradle to level ground; ${basis}`],
      ["range", "m", `along level ground from the end of the cradle, in the direction of launch; ${basis}`],
      ...(blows
        ? [
            [
              "windDrift",
              "m",
              `the range less that without wind along the launch after the cradle; ${basis}`,
            ] as const,
          ]
        : []),
      ["sideDrift", "m", `seen from behind, to the left below 0; ${basis}`],
      ["impactSpeed", "m/s", `over the ground; ${basis}`],
      ...(margin === null
        ? []
        : [
            [
              "stabilityMargin",
              "1",
              "centre of pressure behind the centre of gravity as launched, over the diameter of the body",
            ] as const,
          ]),
    ],
    numbersAt(boost, run, at) {
      const path = unflownPath(boost, run, at("crosswindMPerS"), at("releaseHeightM"));
      const still = blows
        ? unflownPath({ ...boost, headwindMPerS: 0 }, run, at("crosswindMPerS"), at("releaseHeightM"))
        : null;
      const range = path?.down.x ?? Number.NaN;
      return {
        apogee: path?.top.y ?? Number.NaN,
        timeToGround: (path?.down.timeS ?? Number.NaN) - run.leaving.timeS,
        range,
        windDrift: range - (still?.down.x ?? Number.NaN),
        sideDrift: path?.down.right ?? Number.NaN,
        impactSpeed: path?.down.speedMPerS ?? Number.NaN,
        stabilityMargin: margin === null ? Number.NaN : at("pressureBehindM") / at("bodyDiameterM"),
      };
    },
  };
}

/**
 * The path of an airframe that nobody flies, the nose into the air that comes.
 * @returns null where it is still up after two minutes, or cannot be followed
 */
export function unflownPath(
  boost: RocketInputs,
  { leaving }: RocketPrediction,
  crosswindMPerS: number,
  heightM: number,
  otherwise: { readonly nose?: "as-it-left"; readonly greatestLiftAreaM2?: number } = {},
): PathToGround | null {
  return ifIntegrable(() =>
    flyRocket(boost, leaving, {
      crosswindMPerS,
      heightM,
      greatestLiftAreaM2: 0,
      nose: "into-the-air",
      ...otherwise,
    }),
  );
}
