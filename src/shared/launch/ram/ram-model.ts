import { type OdeEvent, ON_SURFACE } from "../../numeric/integrate.ts";
import type { Rhs } from "../../numeric/stepper.ts";
import { STANDARD_GRAVITY } from "../../quantity/gravity.ts";
import { AIR_GAMMA, AIR_GAS_CONSTANT, airDensity, dragAlong } from "../air.ts";
import { fadingFriction } from "./fading-friction.ts";
import { ramAreas } from "./ram-areas.ts";
import { type RamFeed, ramFeed } from "./ram-feed.ts";
import { flowChanges, LEAK_CRITICAL_RATIO } from "./ram-flow-changes.ts";
import type { RamInputs } from "./ram-inputs.ts";
import type { Parting, RamPhase } from "./ram-phase.ts";
import { DROP, PASSED, ROD_GAUGE, ROD_MASS, SPEED, TANK, TRAVEL, WORK } from "./ram-state.ts";
import { ramValves, type ValvePhase } from "./ram-valves.ts";
import { signedFlow } from "./valve-flow.ts";

// of the stroke: a nanometre or so, above what the integration errs in the first instants after parting
const TOUCHES = 1e-9;

export interface RamModel {
  readonly start: Float64Array;
  /** N, push of gas past the seals less back pressure less weight along the push, without other friction. */
  netForce(y: Float64Array): number;
  /** N, net force at which the piston breaks away. */
  readonly breakaway: number;
  /** N, differences of force below this are rounding. */
  readonly forceRounding: number;
  rhs(phase: RamPhase): Rhs;
  /** N, of the air on the airframe at a speed along the push. */
  drag(speedMPerS: number): number;
  /** N, back on what carries the ram, from a state and its slope; below 0 it is pulled forward. */
  baseReaction(phase: RamPhase, y: Float64Array, slope: Float64Array): number;
  /** m/s³, rate of change of the acceleration, from a state and its slope (while moving). */
  jerk(slope: Float64Array): number;
  events(phase: RamPhase): readonly OdeEvent[];
  /** kg of what moves when the airframe has left. */
  readonly aloneKg: number;
  /** m, m/s and m/s² of an airframe that has parted, coasting along the ram's line. */
  coasting(
    parting: Parting,
    t: number,
  ): { readonly travelM: number; readonly speedMPerS: number; readonly accelerationMPerS2: number };
  /** N, push on the airframe times total over airframe mass; below 0 the airframe would have to be pulled. */
  contact(y: Float64Array): number;
  /**
   * Where each valve stands from t on, and s at which one of them next changes how it opens;
   * Infinity after the last.
   */
  valvesFrom(t: number): { readonly phases: readonly ValvePhase[]; readonly untilS: number };
  /** Pa and K of each chamber; the rod chamber's pressure is null where there is none. */
  gas(y: Float64Array): {
    readonly tankPa: number;
    readonly tankK: number;
    readonly chamberPa: number;
    readonly chamberK: number;
    readonly rodChamberPa: number | null;
    readonly leakedKg: number;
    readonly fedKg: number;
  };
  /** Pa, of a supply that feeds the tank; null without. */
  readonly supplyPa: number | null;
  readonly absTol: readonly number[];
}

/**
 * Equations of a compressed-air ram: tank, valves side by side, drive chamber with dead volume and leak,
 * piston, optional rod chamber with vent. Uniform chambers of ideal gas: valves q = Σ s_i(t) · ISO 6358
 * flow, s_i rising from 0 to 1 over the valve's opening, linearly or between points; tank ṁ = q_f − q, ṗ = n
 * R (T_a q_f − T_u q)/V_t, q_f as in `ramFeed`; drive chamber V = V_d + A x, ṁ = q − q_l, ṗ = n (R T_u q − R
 * T_l q_l − p A ẋ)/V, q_l the leak to the air outside; rod chamber V_r = V_r0 + A_r(L − x), ṁ = −q_r, ṗ_r =
 * n (p_r A_r ẋ − R T_u q_r)/V_r; piston m ẍ = (1 − k)(p − p_a)A − (p_r − p_a)A_r − m g sin θ − F_c − B ẋ
 * once the sum without F_c exceeds F_s (what friction keeps of F_s − F_c at a speed stands at
 * `fadingFriction`), less the drag ½ρ C_dA w|w| of the airframe, w = ẋ + headwind cos θ; k the seals' share,
 * 0 while p < p_a. T_u is the temperature of the side the gas comes from, T = p V/(m R). n = γ: no heat from
 * the walls. n = 1: walls keep every chamber at the temperature it began with. Between them a chamber that
 * only empties or expands follows p ∝ (m/V)^n, which is to say that its walls give it heat in proportion to
 * what it loses by work and outflow: Q̇ = (γ − n)/(γ − 1) · (p V̇ + R T q_out − R T_u q_in). Where tank and
 * chamber began at different temperatures T_1 and T_2, the walls of the second also warm what flows in from
 * the first, in proportion to γ − n: where it enters, T_u (1 + (γ − n)/(γ − 1) (T_2/T_1 − 1)) stands for
 * T_u, so that p V = m R T holds in both at n = 1. The energy balance of a chamber is then d/dt[p V/(γ − 1)]
 * = Q̇ − p V̇ + γ/(γ − 1) · (R T_u q_in − R T q_out). An airframe of mass m_a that nothing holds is pushed
 * with m_a(ẍ + g sin θ) + D, friction being the piston's and the drag D the airframe's. As this falls
 * through 0 it parts and coasts; the piston goes on with what is left of m. Should the piston catch up
 * before the end of the stroke, both go on together with their common momentum. A break-away force below the
 * sliding friction counts as equal to it: the piston cannot start where friction would stop it at once.
 * Source: the structure, and the exponent between 1 and γ, are those of E. Richer & Y. Hurmuzlu, J. Dyn.
 * Syst. Meas. Control 122 (2000) 416; there inflow and outflow may have exponents of their own, here all
 * terms share one, so that both ends are exact.
 */
export function ramModel(inputs: RamInputs, relTol: number): RamModel {
  const pa = inputs.airPressurePa;
  const airK = inputs.temperatureK;
  const n = exponentOf(inputs);
  const isothermal = n === 1;
  const vt = inputs.tankVolumeM3;
  const vd = inputs.deadVolumeM3;
  const stroke = inputs.strokeM;
  const mass = inputs.totalMassKg;
  const { drive: area, rodSide: rodArea } = ramAreas(inputs);
  const loose = inputs.looseMassKg ?? 0;
  const alone = mass - loose;
  const alongG = STANDARD_GRAVITY * Math.sin(inputs.angleRad);
  const weight = mass * alongG;
  const { slidingN: sliding, viscousNsPerM: viscous, leak = 0, sealShare = 0 } = inputs;
  const fading = fadingFriction(inputs);
  const valves = ramValves(inputs);
  const rod = inputs.rodChamber;
  const rodVolume = rod ? rod.volumeM3 : 0;
  const ventC = rod ? rod.vent.conductance : 0;
  const ventB = rod ? rod.vent.criticalRatio : 0;
  const leaked = rod ? ROD_GAUGE + 1 : ROD_MASS; // where the kg leaked stand, if there is a leak
  const feed = ramFeed(inputs);
  const fed = leaked + (leak > 0 ? 1 : 0); // where the kg fed stand, if there is a feed
  const R = AIR_GAS_CONSTANT;
  const tankPa = inputs.gaugePressurePa + pa;
  const filledK = inputs.tankTemperatureK ?? airK;
  const tankKg = (tankPa * vt) / (R * filledK);
  const chamberKg = (pa * vd) / (R * airK);
  const rodKg = (pa * (rodVolume + rodArea * stroke)) / (R * airK);

  // What a kilogram brings where it enters, over what it takes from where it leaves.
  const warmed = (toK: number, ofK: number) => 1 + ((AIR_GAMMA - n) / (AIR_GAMMA - 1)) * (toK / ofK - 1);
  const [intoChamber, intoTank] = [warmed(airK, filledK), warmed(filledK, airK)];

  const fedKg = (y: Float64Array) => (feed ? y[fed] : 0);
  const tankK = (y: Float64Array) =>
    isothermal ? filledK : (y[TANK] * vt) / ((tankKg - y[PASSED] + fedKg(y)) * R);
  const leakedKg = (y: Float64Array) => (leak > 0 ? y[leaked] : 0);
  const chamberK = (y: Float64Array) =>
    isothermal
      ? airK
      : ((y[TANK] - y[DROP]) * (vd + area * y[TRAVEL])) / ((chamberKg + y[PASSED] - leakedKg(y)) * R);
  /** N, of the drive chamber on the piston, less what its pressure costs in the seals. */
  const push = (y: Float64Array) => {
    const gauge = (y[TANK] - y[DROP] - pa) * area;
    return gauge - sealShare * Math.max(0, gauge);
  };
  const { dragAreaM2 = 0, headwindMPerS = 0 } = inputs;
  const density = airDensity(pa, airK);
  const along = headwindMPerS * Math.cos(inputs.angleRad);
  const drag = (speed: number) => (dragAreaM2 > 0 ? dragAlong(dragAreaM2, density, speed + along) : 0);
  const gasForce = (y: Float64Array) => push(y) - (rod ? y[ROD_GAUGE] * rodArea : 0);
  const netForce = (y: Float64Array) => gasForce(y) - weight - drag(y[SPEED]);
  const contact = (y: Float64Array) =>
    gasForce(y) - sliding - viscous * y[SPEED] - fading.force(y[SPEED]) + drag(y[SPEED]) * (mass / loose - 1);
  const coasting = ({ timeS, travelM, speedMPerS }: Parting, t: number) => {
    const slowing = alongG + drag(speedMPerS) / loose;
    return {
      travelM: travelM + speedMPerS * (t - timeS) - (slowing * (t - timeS) ** 2) / 2,
      speedMPerS: speedMPerS - slowing * (t - timeS),
      accelerationMPerS2: -slowing,
    };
  };

  /** What flows through all drive valves, kg/s. */
  function driveFlow(
    phases: RamPhase["valves"],
    t: number,
    y: Float64Array,
    fromK: number,
    toK: number,
  ): number {
    let q = 0;
    for (let i = 0; i < valves.length; i++) {
      const valve = valves[i];
      const open = valve.share(phases[i], t);
      if (open > 0) {
        q += signedFlow(open * valve.conductance, valve.criticalRatio, y[TANK], fromK, y[DROP], toK);
      }
    }
    return q;
  }

  /** Sets the slopes of the chamber round the rod, which the piston empties through its vent. */
  function setRodSlopes(y: Float64Array, v: number, out: Float64Array): void {
    const volume = rodVolume + rodArea * (stroke - y[TRAVEL]);
    const rodPa = pa + y[ROD_GAUGE];
    const rodK = isothermal ? airK : (rodPa * volume) / (y[ROD_MASS] * R);
    const qr = signedFlow(ventC, ventB, rodPa, rodK, y[ROD_GAUGE], airK);
    out[ROD_MASS] = -qr;
    out[ROD_GAUGE] = (n * (rodPa * rodArea * v - R * (qr >= 0 ? rodK : airK) * qr)) / volume;
  }

  /** Sets what leaks. @returns what that takes from the drive chamber's p V each second, W times n */
  function setLeaked(chamberPa: number, toK: number, out: Float64Array): number {
    const ql = signedFlow(leak, LEAK_CRITICAL_RATIO, chamberPa, toK, chamberPa - pa, airK);
    out[leaked] = ql;
    return n * R * (ql >= 0 ? toK : airK) * ql;
  }

  /** Sets what is fed. @returns what that brings to the tank's p V each second, W times n */
  function setFed({ flow }: RamFeed, y: Float64Array, out: Float64Array): number {
    out[fed] = flow(y[TANK]);
    return n * R * airK * intoTank * out[fed];
  }

  function rhs({ moving, parted, valves: phases }: RamPhase): Rhs {
    const [kg, down] = parted ? [alone, alone * alongG] : [mass, weight];
    return (t, y, out) => {
      const fromK = tankK(y);
      const toK = chamberK(y);
      const q = driveFlow(phases, t, y, fromK, toK);
      const carried = n * R * (q >= 0 ? fromK : toK) * q;
      const [taken, brought] = q >= 0 ? [carried, intoChamber * carried] : [intoTank * carried, carried];
      const v = moving ? y[SPEED] : 0;
      const chamberPa = y[TANK] - y[DROP];
      const power = chamberPa * area * v;
      const lost = leak > 0 ? setLeaked(chamberPa, toK, out) : 0;
      out[PASSED] = q;
      const supplied = feed ? setFed(feed, y, out) : 0;
      out[TANK] = (supplied - taken) / vt;
      out[DROP] = out[TANK] - (brought - lost - n * power) / (vd + area * y[TRAVEL]);
      out[TRAVEL] = v;
      const held = down + sliding + viscous * v + fading.force(v) + (parted ? 0 : drag(v));
      out[SPEED] = moving ? (gasForce(y) - held) / kg : 0;
      out[WORK] = power;
      if (rod) setRodSlopes(y, v, out);
    };
  }

  const breakaway = Math.max(inputs.breakawayN, sliding);
  const forceScale = 1 / (tankPa * area);
  const speedScale = Math.sqrt((2 * (tankPa - pa) * area * stroke) / mass);
  const flowEvents = flowChanges(inputs, valves, feed);
  const startEvent: OdeEvent = {
    name: "start",
    direction: 1,
    value: (_t, y) => (netForce(y) - breakaway) * forceScale,
  };
  const exitEvent: OdeEvent = { name: "exit", direction: 1, value: (_t, y) => y[TRAVEL] / stroke - 1 };
  const stallEvent: OdeEvent = { name: "stall", direction: -1, value: (_t, y) => y[SPEED] / speedScale };
  const partEvent: OdeEvent = { name: "part", direction: -1, value: (_t, y) => contact(y) * forceScale };
  const catchEvent = (parting: Parting): OdeEvent => ({
    name: "catch",
    direction: 1,
    value: (t, y) => (y[TRAVEL] - coasting(parting, t).travelM) / stroke - TOUCHES,
  });
  function events({ moving, parted }: RamPhase): readonly OdeEvent[] {
    if (!moving) return [startEvent, ...flowEvents];
    const ofAirframe = parted ? [catchEvent(parted)] : loose > 0 ? [partEvent] : [];
    return [exitEvent, stallEvent, ...ofAirframe, ...flowEvents];
  }

  return {
    start: Float64Array.from([
      0,
      tankPa,
      tankPa - pa,
      0,
      0,
      0,
      ...(rod ? [rodKg, 0] : []),
      ...(leak > 0 ? [0] : []),
      ...(feed ? [0] : []),
    ]),
    netForce,
    breakaway,
    forceRounding: ON_SURFACE / forceScale,
    rhs,
    jerk: (slope) =>
      // The peak is where the chamber is above the air outside: there the seals'
      // share is the same throughout.
      ((slope[TANK] - slope[DROP]) * area * (1 - sealShare) -
        (rod ? slope[ROD_GAUGE] * rodArea : 0) -
        (viscous + fading.slope(slope[TRAVEL])) * slope[SPEED] -
        // Ḋ = ρ C_dA |w| a; the travel's slope is the speed
        density * dragAreaM2 * Math.abs(slope[TRAVEL] + along) * slope[SPEED]) /
      mass,
    drag,
    baseReaction: ({ parted }, y, slope) =>
      (parted ? alone : mass) * (slope[SPEED] + alongG) + (parted ? 0 : drag(y[SPEED])),
    valvesFrom: (t) => ({
      phases: valves.map((valve) => valve.phaseFrom(t)),
      untilS: Math.min(...valves.map((valve) => valve.changesAfter(t))),
    }),
    events,
    aloneKg: alone,
    coasting,
    contact,
    gas: (y) => ({
      tankPa: y[TANK],
      tankK: tankK(y),
      chamberPa: y[TANK] - y[DROP],
      chamberK: chamberK(y),
      rodChamberPa: rod ? pa + y[ROD_GAUGE] : null,
      leakedKg: leakedKg(y),
      fedKg: fedKg(y),
    }),
    supplyPa: feed ? feed.supplyPa : null,
    // Small against each component's size in the launch, so that early, tiny motion is followed too.
    absTol: [
      1e-4 * chamberKg,
      1e-4 * pa,
      1e-2 * pa,
      1e-4 * stroke,
      1e-4 * speedScale,
      1e-4 * tankPa * area * stroke,
      ...(rod ? [1e-4 * rodKg, 1e-2 * pa] : []),
      ...(leak > 0 ? [1e-4 * chamberKg] : []),
      ...(feed ? [1e-4 * chamberKg] : []),
    ].map((scale) => relTol * scale),
  };
}

function exponentOf({ gas, polytropicExponent }: RamInputs): number {
  if (gas === "isothermal") return 1;
  return gas === "adiabatic" ? AIR_GAMMA : polytropicExponent!;
}
