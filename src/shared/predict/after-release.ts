import { airDensity } from "../launch/air.ts";
import {
  flyOnWing,
  heightToStallSpeed,
  highestPlace,
  liftAvailable,
  sinkBelowStall,
  steepestBank,
} from "../launch/flight-after.ts";
import { gustAlleviation, sharpGustLoad } from "../launch/gust.ts";
import { coasting, pathToGround } from "../launch/path-to-ground.ts";
import { airspeed } from "../launch/stall.ts";
import { clearNotice } from "../launchers/landing-reach.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import { unflownAir } from "../launchers/unflown-air.ts";
import { showExact, showMeasured, type UnitSet } from "../quantity/display.ts";
import { STANDARD_GRAVITY as G } from "../quantity/gravity.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { FLIGHT_NOTICES } from "../results/notices/verdict-notices.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import type { QuantityName } from "../results/shot-result.ts";
import type { LaunchedShot } from "../session/launch-inputs.ts";
import type { Conditions, Launcher } from "../session/schema.ts";
import { inputsByName } from "../uncertainty/inputs-by-name.ts";
import { type JointInputs, jointInputs } from "../uncertainty/joint-inputs.ts";
import { aboveZero, propagate, type UncertainInput, zeroOrMore } from "../uncertainty/propagate.ts";

type Quantities = Readonly<Partial<Record<QuantityName, Quantity>>>;
type Covariances = Readonly<Record<string, number>>;

export interface AfterRelease {
  readonly quantities: Quantities;
  readonly notices: readonly ShotNotice[];
}

/** Results that stand under flight after release, in the order they are read. */
export const AFTER_RELEASE: readonly QuantityName[] = [
  "liftAvailable",
  "gustLoad",
  "heightAfterOneSecond",
  "pitchAfterOneSecond",
  "timeToGround",
  "apogee",
  "stabilityMargin",
  "range",
  "windDrift",
  "sideDrift",
  "impactSpeed",
];

// launched more steeply than this, the highest place is what a shot is for
const NEAR_VERTICAL = (75 * Math.PI) / 180;
const TOLD = 2; // u beyond which a sign is told

/**
 * What follows from release for the first seconds of flight, for a measured or a predicted shot: lift
 * available, load of a gust, height after 1 s with the wing held at what keeps the path straight (greatest
 * lift below stall), pitch after 1 s at the rate of release, when and where it comes down as a body that is
 * not flown, highest place of a near-vertical shot. No thrust anywhere: nothing is said of a shot whose
 * launcher goes on pushing. Inputs are independent, but for a predicted speed, which depends on mass, angle
 * and air as the flight does.
 * @param launcher what it left
 * @param speedCovariances as in ShotPrediction; none for a measured speed
 * @returns what the shot and the quantities suffice for; lacking inputs are not asked for
 */
export function afterRelease(
  launcher: Launcher | null,
  shot: LaunchedShot,
  quantities: Quantities,
  side: "measured" | "predicted",
  speedCovariances: Covariances = {},
): AfterRelease {
  if (modelOf(launcher)?.pushesAfterRelease) return { quantities: {}, notices: [] };
  const told: Partial<Record<QuantityName, Quantity>> = {
    ...liftOf(quantities),
    ...pitchOf(quantities),
    ...pathOf(shot, quantities, speedCovariances),
    ...gustOf(shot, quantities, speedCovariances),
  };
  return { quantities: told, notices: noticesOf(shot, { ...quantities, ...told }, side) };
}

/** What the model calls the inputs that the flight reads too. */
const IN_MODEL: Readonly<Record<string, string>> = { massKg: "airframeMassKg", launchAngle: "angleRad" };

/** The release speed with those inputs that its error goes with; null where there are none. */
function jointWithSpeed(list: readonly UncertainInput[], covariances: Covariances): JointInputs | null {
  const speedU = list.find(({ name }) => name === "releaseSpeed")?.u ?? 0;
  const others = list.flatMap(({ name, u }) => {
    const covariance = covariances[IN_MODEL[name] ?? name] ?? 0;
    // Rounding may carry a speed that one input decides past 1.
    const correlation = Math.max(-1, Math.min(1, covariance / (u * speedU)));
    return covariance === 0 ? [] : [{ name, u, correlation }];
  });
  if (speedU === 0 || others.length === 0) return null;
  const withSpeed = others.map(({ correlation }) => correlation);
  return jointInputs(
    ["releaseSpeed", ...others.map(({ name }) => name)],
    [speedU, ...others.map(({ u }) => u)],
    [[1, ...withSpeed], ...withSpeed.map((one, i) => [one, ...others.map((_, j) => (i === j ? 1 : 0))])],
  );
}

function quantity(name: QuantityName, { value, u }: Measured, how: string): Quantity {
  return { value, u, unit: QUANTITIES[name].unit, how };
}

function liftOf({ stallMargin }: Quantities): Quantities {
  if (!stallMargin) return {};
  const n = liftAvailable(stallMargin.value, 1);
  const bank = Math.floor((steepestBank(n) * 180) / Math.PI);
  const turn = n > 1 ? `, enough for a level turn banked up to ${bank}°` : "";
  return {
    liftAvailable: quantity(
      "liftAvailable",
      { value: n, u: 2 * stallMargin.value * stallMargin.u },
      `square of the stall margin${turn}`,
    ),
  };
}

function pitchOf({ pitchAtRelease, pitchRateAtRelease }: Quantities): Quantities {
  if (!pitchAtRelease || !pitchRateAtRelease) return {};
  return {
    pitchAfterOneSecond: quantity(
      "pitchAfterOneSecond",
      {
        value: pitchAtRelease.value + pitchRateAtRelease.value,
        u: Math.hypot(pitchAtRelease.u, pitchRateAtRelease.u),
      },
      "pitch and pitch rate at release, with nothing to stop the turning: a bound, for the air damps it",
    ),
  };
}

/** Height after 1 s, when and where it comes down, highest place: a point mass from release. */
function pathOf(
  { airframe, conditions }: LaunchedShot,
  { releaseSpeed, launchAngle }: Quantities,
  speedCovariances: Covariances,
): Quantities {
  const { massKg, dragAreaM2, wingAreaM2, liftCoefficientMax } = airframe;
  const { headwindMPerS, airPressurePa, temperatureK, releaseHeightM } = conditions;
  if (!massKg || !releaseSpeed || !launchAngle) return {};
  const winged = wingAreaM2 != null && liftCoefficientMax != null;
  const none: Measured = { value: 0, u: 0 };
  const { crosswindMPerS, assumed } = unflownAir(conditions);
  const list = [
    aboveZero("massKg", massKg),
    zeroOrMore("releaseSpeed", { value: Math.max(0, releaseSpeed.value), u: releaseSpeed.u }),
    { name: "launchAngle" as const, value: launchAngle.value, u: launchAngle.u },
    { name: "headwindMPerS" as const, ...headwindMPerS },
    aboveZero("airPressurePa", airPressurePa),
    aboveZero("temperatureK", temperatureK),
    zeroOrMore("dragAreaM2", dragAreaM2 ?? none),
    zeroOrMore("wingAreaM2", winged ? wingAreaM2 : none),
    zeroOrMore("liftCoefficientMax", winged ? liftCoefficientMax : none),
    zeroOrMore("releaseHeightM", releaseHeightM ?? none),
    { name: "crosswindMPerS" as const, ...crosswindMPerS },
  ];
  const vertical = launchAngle.value > NEAR_VERTICAL;
  const model = inputsByName(list, (at) => {
    const body = {
      massKg: at.massKg,
      speedMPerS: at.releaseSpeed,
      angleRad: at.launchAngle,
      headwindMPerS: at.headwindMPerS,
      airDensity: airDensity(at.airPressurePa, at.temperatureK),
      dragAreaM2: at.dragAreaM2,
    };
    const greatestLiftAreaM2 = at.wingAreaM2 * at.liftCoefficientMax;
    const after = elementAt(flyOnWing({ ...body, greatestLiftAreaM2 }, [1]), 0);
    // What does not come down within two minutes has no time or place that could be told.
    const path =
      releaseHeightM == null
        ? null
        : pathToGround(
            {
              ...body,
              heightM: at.releaseHeightM,
              crosswindMPerS: at.crosswindMPerS,
              greatestLiftAreaM2: 0,
              nose: "into-the-air",
            },
            coasting(at.massKg),
            0,
          );
    const top = vertical ? highestPlace(body) : null;
    const { timeS, x, right, speedMPerS } = path?.down ?? NOT_DOWN;
    return [after.y, top?.heightM ?? Number.NaN, timeS, x, right, speedMPerS];
  });
  const result = propagate(model, list, jointWithSpeed(list, speedCovariances));
  if (!result.ok) return {};
  const { values, u } = result.value;
  const pick = (i: number): Measured => ({ value: elementAt(values, i), u: elementAt(u, i) });
  const known = (i: number) => Number.isFinite(values[i]) && Number.isFinite(u[i]);
  const air = dragAreaM2 ? "drag of the area entered" : "no drag, for no drag area is entered";
  const unflown = `that is not flown: no lift, no thrust; ${air}`;
  const wing = winged
    ? "the wing held at what keeps the path straight, or at its greatest lift where that is too little"
    : "no lift, for no wing is entered";
  return {
    heightAfterOneSecond: quantity("heightAfterOneSecond", pick(0), `${wing}; ${air}; no thrust`),
    ...(known(1) && {
      apogee: quantity("apogee", pick(1), `height above release at the top of the path, no lift; ${air}`),
    }),
    ...(known(2) && {
      timeToGround: quantity("timeToGround", pick(2), `fall from the height of release as a body ${unflown}`),
      range: quantity("range", pick(3), `along level ground from release, as a body ${unflown}`),
      sideDrift: quantity(
        "sideDrift",
        pick(4),
        `seen from behind, to the left below 0, as a body ${unflown}${assumed.crosswind}`,
      ),
      impactSpeed: quantity("impactSpeed", pick(5), `over the ground, as a body ${unflown}`),
    }),
  };
}

const NOT_DOWN = { timeS: Number.NaN, x: Number.NaN, right: Number.NaN, speedMPerS: Number.NaN };

function gustOf(
  { airframe, conditions }: LaunchedShot,
  { releaseSpeed, launchAngle, stallMargin }: Quantities,
  speedCovariances: Covariances,
): Quantities {
  const { massKg, wingAreaM2, liftSlopePerRad, meanChordM } = airframe;
  const { headwindMPerS, airPressurePa, temperatureK, gustMPerS } = conditions;
  if (!massKg || !wingAreaM2 || !liftSlopePerRad || !gustMPerS || !releaseSpeed || !launchAngle) return {};
  const list = [
    aboveZero("massKg", massKg),
    aboveZero("wingAreaM2", wingAreaM2),
    aboveZero("liftSlopePerRad", liftSlopePerRad),
    zeroOrMore("gustMPerS", gustMPerS),
    aboveZero("releaseSpeed", releaseSpeed),
    { name: "launchAngle" as const, value: launchAngle.value, u: launchAngle.u },
    { name: "headwindMPerS" as const, ...headwindMPerS },
    aboveZero("airPressurePa", airPressurePa),
    aboveZero("temperatureK", temperatureK),
    aboveZero("meanChordM", meanChordM ?? { value: 1, u: 0 }),
  ];
  const model = inputsByName(list, (at) => {
    const { massKg, wingAreaM2, liftSlopePerRad, meanChordM: chordM } = at;
    const density = airDensity(at.airPressurePa, at.temperatureK);
    const wing = { massKg, wingAreaM2, liftSlopePerRad, airDensity: density };
    const through = airspeed(at.releaseSpeed, at.launchAngle, at.headwindMPerS);
    if (!(through > 0)) return null;
    const sharp = sharpGustLoad({ ...wing, airspeedMPerS: through, gustMPerS: at.gustMPerS });
    return [meanChordM ? sharp * gustAlleviation({ ...wing, meanChordM: chordM }).factor : sharp];
  });
  const result = propagate(model, list, jointWithSpeed(list, speedCovariances));
  if (!result.ok) return {};
  const load: Measured = { value: elementAt(result.value.values, 0), u: elementAt(result.value.u, 0) };
  const most = stallMargin && liftAvailable(stallMargin.value, 1);
  const capped =
    most !== undefined && 1 + load.value > most
      ? `; the wing stalls before it lifts that much, at ${showExact(most, "1", "SI", 2)} times the weight in all`
      : "";
  const how = meanChordM
    ? "upright gust at release airspeed, eased as the airframe rises with it (a fit made for larger aeroplanes)"
    : "upright gust with a sharp edge at release airspeed: an upper bound, eased where the mean chord is known";
  return { gustLoad: quantity("gustLoad", load, `${how}${capped}`) };
}

function noticesOf(
  { conditions, units }: LaunchedShot,
  quantities: Quantities,
  side: "measured" | "predicted",
): readonly ShotNotice[] {
  const { stallSpeed, stallMargin, range, sideDrift } = quantities;
  const place =
    range && sideDrift
      ? clearNotice(conditions, range, sideDrift, units, (...says) =>
          FLIGHT_NOTICES["after-beyond-clear"](side, ...says),
        )
      : [];
  if (!stallSpeed || !stallMargin) return place;
  const known = { ...quantities, stallSpeed, stallMargin };
  const stall = [belowStall(conditions, known, side, units), gustStall(conditions, known, units)];
  return [...place, ...stall.filter((one) => one !== null)];
}

type WithStall = Quantities & { readonly stallSpeed: Measured; readonly stallMargin: Measured };

function belowStall(
  { releaseHeightM }: Conditions,
  quantities: WithStall,
  side: "measured" | "predicted",
  units: UnitSet,
): ShotNotice | null {
  const { stallSpeed: stall, stallMargin: margin } = quantities;
  if (margin.value >= 1) return null;
  const air = margin.value * stall.value;
  const need = heightToStallSpeed(air, stall.value);
  // (V_s² − V²)/2g = V_s² (1 − M²)/2g, stall speed and margin taken as independent.
  const u = Math.hypot((2 * need * stall.u) / stall.value, ((stall.value * air) / G) * margin.u);
  const reachesGround = releaseHeightM != null && releaseHeightM.value < need;
  const slowed = quantities.dragAfterRelease;
  const gain = slowed && -slowed.value > TOLD * slowed.u ? -slowed.value : null;
  const sink = gain === null ? null : sinkBelowStall(air, stall.value, gain);
  const pulls =
    sink === null
      ? ""
      : ` Kept level and gaining speed as it did after release, it has it ${sink.timeS.toFixed(1)} s later and ${showExact(-sink.heightM, "m", units, 2)} lower.`;
  const fall = showMeasured({ value: need, u }, "m", units).text;
  return FLIGHT_NOTICES["after-below-stall"](side, fall, reachesGround, pulls);
}

function gustStall(
  { gustMPerS, headwindMPerS }: Conditions,
  quantities: WithStall,
  units: UnitSet,
): ShotNotice | null {
  const { releaseSpeed, launchAngle, stallSpeed, stallMargin } = quantities;
  if (!gustMPerS || !releaseSpeed || !launchAngle || stallMargin.value < 1) return null;
  const air = airspeed(releaseSpeed.value, launchAngle.value, headwindMPerS.value - gustMPerS.value);
  const ratio = air / stallSpeed.value;
  if (ratio >= 1) return null;
  return FLIGHT_NOTICES["after-gust-stall"](showMeasured(gustMPerS, "m/s", units).text, ratio);
}
