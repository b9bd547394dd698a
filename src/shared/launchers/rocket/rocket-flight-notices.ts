import type { PathToGround } from "../../launch/path-to-ground.ts";
import { peopleKeptM } from "../../launch/rocket/rocket-cautions.ts";
import type { RocketInputs, RocketPrediction } from "../../launch/rocket/rocket-inputs.ts";
import { showExact, showMeasured } from "../../quantity/display.ts";
import type { Measured, Unit } from "../../quantity/measured.ts";
import {
  CUSTOMARY_STABILITY,
  MOST_WIND_M_PER_S,
  UNFLOWN_NOTICES,
} from "../../results/notices/flight-notices.ts";
import type { ShotNotice } from "../../results/notices/shot-notices.ts";
import type { LaunchedShot } from "../../session/launch-inputs.ts";
import { boundText, clearNotice, landingReach } from "../landing-reach.ts";
import { unflownAir } from "../unflown-air.ts";
import { unflownPath } from "./rocket-flight-rows.ts";
import type { RocketQuantities } from "./rocket-quantities.ts";

/** The boost at the inputs' values, and the path that follows; null where none can be told. */
export interface FlownRocket {
  readonly boost: RocketInputs;
  readonly run: RocketPrediction;
  readonly path: PathToGround | null;
}

const K = 2; // standard uncertainties to spare, as everywhere
// Wind over level ground goes with the seventh root of the height. Common practice, no source.
const WIND_POWER = 1 / 7;
const WIND_READ_M = 2; // where a person holds the wind meter

/**
 * What keeps the path from being told, as a clause; null where nothing does. Thrust beside the balance point
 * turns a body that the air does not hold; one whose centre of pressure lies ahead turns by itself.
 */
export function whyNotTold(margin: Measured | null, turnsOver: boolean): string | null {
  if (margin !== null && !(margin.value > 0)) return "the air turns the airframe about";
  return margin === null && turnsOver
    ? "thrust beside the balance point turns the airframe over, and whether the air holds it is not known"
    : null;
}

/** What a person should know of the flight that nobody steers. */
export function rocketFlightNotices(
  shot: LaunchedShot,
  { quantities }: RocketQuantities,
  flown: FlownRocket,
  notTold: string | null,
): readonly ShotNotice[] {
  return [
    ...stabilityNotices(quantities.stabilityMargin ?? null),
    ...windNotices(shot),
    ...(notTold === null
      ? [...placeNotices(shot, quantities, flown), ...leftOutNotices(shot, flown)]
      : [UNFLOWN_NOTICES["flight-not-told"](notTold)]),
  ];
}

function stabilityNotices(margin: Measured | null): readonly ShotNotice[] {
  if (margin === null) return [UNFLOWN_NOTICES["flight-margin-unknown"]()];
  const shown = showMeasured(margin, "1").text.trim();
  if (!(margin.value > 0)) return [UNFLOWN_NOTICES["flight-unstable"](shown)];
  return margin.value - K * margin.u < CUSTOMARY_STABILITY
    ? [UNFLOWN_NOTICES["flight-low-margin"](shown)]
    : [];
}

function windNotices({ conditions, units }: LaunchedShot): readonly ShotNotice[] {
  const { headwindMPerS: along } = conditions;
  const { crosswindMPerS: across } = unflownAir(conditions);
  const value = Math.hypot(along.value, across.value);
  const u =
    value === 0
      ? Math.max(along.u, across.u)
      : Math.hypot(along.value * along.u, across.value * across.u) / value;
  if (value + K * u <= MOST_WIND_M_PER_S) return [];
  return [
    UNFLOWN_NOTICES["flight-wind"](
      showMeasured({ value, u }, "m/s", units).text,
      showExact(MOST_WIND_M_PER_S, "m/s", units, 2),
      value <= MOST_WIND_M_PER_S,
    ),
  ];
}

function placeNotices(
  { conditions, units }: LaunchedShot,
  { range, sideDrift, impactSpeed }: RocketQuantities["quantities"],
  { boost, run, path }: FlownRocket,
): readonly ShotNotice[] {
  if (path === null || !range || !sideDrift || !impactSpeed) return [];
  const shown = (of: Measured, unit: Unit) => showMeasured(of, unit, units).text;
  const left = sideDrift.value < 0;
  const aside = { ...sideDrift, value: Math.abs(sideDrift.value) };
  const { nearest, farthest } = landingReach(range, sideDrift);
  const metres = (value: number) => showExact(value, "m", units, 2);
  const burnsS = run.burnout.timeS - run.leaving.timeS;
  const downS = path.down.timeS - run.leaving.timeS;
  const kept = peopleKeptM(boost.motors);
  return [
    ...(downS < burnsS ? [UNFLOWN_NOTICES["flight-under-power"](showExact(downS, "s", units, 2))] : []),
    ...(nearest < kept
      ? [UNFLOWN_NOTICES["flight-near-people"](boundText(nearest, "down", units), metres(kept))]
      : []),
    ...clearNotice(conditions, range, sideDrift, units, UNFLOWN_NOTICES["flight-beyond-clear"]),
    UNFLOWN_NOTICES["flight-comes-down"](
      shown(range, "m"),
      `${shown(aside, "m")} to the ${left ? "left" : "right"}`,
      shown(impactSpeed, "m/s"),
      boundText(farthest, "up", units),
    ),
  ];
}

/** The same launch with each thing that is left out at its other end, and what else is not in the path. */
function leftOutNotices(shot: LaunchedShot, { boost, run, path }: FlownRocket): readonly ShotNotice[] {
  if (path === null) return [];
  const { airframe, conditions, units } = shot;
  const air = unflownAir(conditions);
  const [across, heightM] = [air.crosswindMPerS.value, air.releaseHeightM.value];
  const metres = (value: number) => showExact(value, "m", units, 2);
  const ahead = (flown: PathToGround | null) =>
    flown === null ? "up for over two minutes" : metres(flown.down.x);
  const held = unflownPath(boost, run, across, heightM, { nose: "as-it-left" });
  const otherwise = [`with the nose held as on the cradle ${ahead(held)}`];
  if (airframe.wingAreaM2 && airframe.liftCoefficientMax) {
    const greatestLiftAreaM2 = airframe.wingAreaM2.value * airframe.liftCoefficientMax.value;
    const winged = unflownPath(boost, run, across, heightM, { greatestLiftAreaM2 });
    otherwise.push(`with a wing that carries it straight for as long as it can ${ahead(winged)}`);
  }
  if (boost.headwindMPerS !== 0) {
    const factor = Math.max(1, (path.top.y + heightM) / WIND_READ_M) ** WIND_POWER;
    const windy = { ...boost, headwindMPerS: boost.headwindMPerS * factor };
    const grown = unflownPath(windy, run, across * factor, heightM);
    otherwise.push(
      `with the wind that usually blows at its greatest height, ${factor.toFixed(1)} times that at ${WIND_READ_M} m, ${ahead(grown)}`,
    );
  }
  return [UNFLOWN_NOTICES["flight-left-out"](otherwise, besides(shot, { boost, run, path }, metres))];
}

/** Booster and burnt propellant, in sentences after a space; empty where there is neither. */
function besides(
  { airframe }: LaunchedShot,
  { boost, run, path }: FlownRocket,
  metres: (value: number) => string,
): string {
  const sentences: string[] = [];
  const dropped = run.separation && path?.at(run.separation.timeS);
  if (dropped) {
    const place = `${metres(dropped.x)} ahead and ${metres(dropped.y)} above the end of the cradle`;
    sentences.push(`The booster, let go ${place}, falls by itself.`);
  }
  const lit = boost.motors.filter((motor) => motor.lit);
  const burntKg = lit.reduce((sum, { propellantKg }) => sum + propellantKg, 0);
  const moved =
    lit.reduce((sum, { propellantKg, aheadM }) => sum - propellantKg * aheadM, 0) / (boost.massKg - burntKg);
  if (airframe.bodyDiameterM && airframe.pressureBehindM) {
    const diameters = (moved / airframe.bodyDiameterM.value).toFixed(2).replace("-", "−");
    sentences.push(`Burning up to the nozzles, the propellant changes the stability margin by ${diameters}.`);
  }
  return sentences.map((sentence) => ` ${sentence}`).join("");
}
