/**
 * A compressed-air ram with what the product's model leaves out, integrated apart from it by Runge and
 * Kutta's classical method with fixed steps: heat from the walls by a film coefficient, a valve that
 * opens along half a cosine, Stribeck's friction, drag of the air on the airframe, a leak past the
 * piston. Each can be left out, and without any of them it is the product's model. Flow through valves:
 * ISO 6358:1989. Friction: F = F_c + (F_s - F_c) exp(-(v/v_s)²) + B v, as in Armstrong-Hélouvry et al.,
 * Automatica 30:1083 (1994).
 */
export interface RealRam {
  readonly tankVolumeM3: number;
  readonly gaugePressurePa: number;
  readonly airPressurePa: number;
  readonly temperatureK: number;
  readonly boreM: number;
  readonly strokeM: number;
  readonly deadVolumeM3: number;
  readonly conductance: number;
  readonly criticalRatio: number;
  readonly openingS: number;
  readonly totalMassKg: number;
  readonly angleRad: number;
  readonly breakawayN: number;
  readonly slidingN: number;
  readonly viscousNsPerM: number;
  /** Of the valve's conductance. */
  readonly leakShare: number;
  /** W/(m² K), 0 for none. */
  readonly filmWPerM2K: number;
  readonly smoothOpening: boolean;
  /** m/s, over which friction falls from break-away to sliding; 0: at once. */
  readonly stribeckMPerS: number;
  readonly dragAreaM2: number;
}

export interface RealPush {
  readonly exitS: number;
  readonly exitSpeedMPerS: number;
  /** m and m/s from the valve starting to open. */
  at(timeS: number): { readonly travelM: number; readonly speedMPerS: number };
}

const GAMMA = 1.4;
const R = 287.05;
const CV = R / (GAMMA - 1);
const G = 9.80665;
const DENSITY_0 = 1.185; // kg/m³, ISO 8778 at 20 °C, 65 % humidity
const TEMPERATURE_0 = 293.15;
const LEAK_RATIO = 0.3;
const STEP_S = 4e-5;
const LONGEST_S = 2;

/** @throws Error when the ram does not complete its stroke within two seconds */
export function realPush(ram: RealRam): RealPush {
  const area = (Math.PI * ram.boreM ** 2) / 4;
  const [pa, airK] = [ram.airPressurePa, ram.temperatureK];
  const density = pa / (R * airK);
  const along = G * Math.sin(ram.angleRad);
  const tankWall = 6 * ram.tankVolumeM3 ** (2 / 3);
  const friction = (v: number) =>
    ram.slidingN +
    (ram.stribeckMPerS > 0
      ? Math.max(0, ram.breakawayN - ram.slidingN) * Math.exp(-((v / ram.stribeckMPerS) ** 2))
      : 0) +
    ram.viscousNsPerM * v;
  const opened = (t: number) => {
    const part = ram.openingS > 0 ? Math.min(1, t / ram.openingS) : 1;
    return ram.smoothOpening ? (1 - Math.cos(Math.PI * part)) / 2 : part;
  };
  const held = (y: readonly number[]) => (y[2]! - pa) * area - ram.totalMassKg * along;
  /** State: kg and Pa of the tank, Pa and kg of the drive chamber, m, m/s. */
  const slopes = (t: number, y: readonly number[], moving: boolean): number[] => {
    const [tankKg, tankPa, drivePa, driveKg, x, speed] = y as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    const v = moving ? speed : 0;
    const volume = ram.deadVolumeM3 + area * x;
    const tankK = (tankPa * ram.tankVolumeM3) / (tankKg * R);
    const driveK = (drivePa * volume) / (driveKg * R);
    const q = flow(opened(t) * ram.conductance, ram.criticalRatio, tankPa, tankK, drivePa, driveK);
    const lost = flow(ram.leakShare * ram.conductance, LEAK_RATIO, drivePa, driveK, pa, airK);
    const driveWall = 2 * area + Math.PI * ram.boreM * (ram.deadVolumeM3 / area + x);
    const fromTank = ram.filmWPerM2K * tankWall * (airK - tankK);
    const fromWalls = ram.filmWPerM2K * driveWall * (airK - driveK);
    const carriedK = q >= 0 ? tankK : driveK;
    const drag = 0.5 * density * ram.dragAreaM2 * v * v;
    return [
      -q,
      (-GAMMA * R * carriedK * q + (R / CV) * fromTank) / ram.tankVolumeM3,
      (GAMMA * R * (carriedK * q - driveK * lost) + (R / CV) * fromWalls - GAMMA * drivePa * area * v) /
        volume,
      q - lost,
      v,
      moving ? (held(y) - friction(v) - drag) / ram.totalMassKg : 0,
    ];
  };
  const tankPa = ram.gaugePressurePa + pa;
  let y: number[] = [
    (tankPa * ram.tankVolumeM3) / (R * airK),
    tankPa,
    pa,
    (pa * ram.deadVolumeM3) / (R * airK),
    0,
    0,
  ];
  let moving = false;
  const states: { readonly x: number; readonly v: number }[] = [{ x: 0, v: 0 }];
  for (let k = 0; k * STEP_S < LONGEST_S; k++) {
    moving ||= held(y) > Math.max(ram.breakawayN, ram.slidingN);
    const before = y;
    y = advanced(slopes, k * STEP_S, y, moving);
    states.push({ x: y[4]!, v: y[5]! });
    if (y[4]! >= ram.strokeM) {
      const part = (ram.strokeM - before[4]!) / (y[4]! - before[4]!);
      return pushOf(states, (k + part) * STEP_S, before[5]! + part * (y[5]! - before[5]!));
    }
  }
  throw new Error(`realPush: the ram is at ${y[4]} m after ${LONGEST_S} s`);
}

function pushOf(
  states: readonly { readonly x: number; readonly v: number }[],
  exitS: number,
  exitSpeedMPerS: number,
): RealPush {
  return {
    exitS,
    exitSpeedMPerS,
    at(timeS) {
      const place = Math.max(0, timeS / STEP_S);
      const i = Math.min(states.length - 2, Math.floor(place));
      const [from, to, w] = [states[i]!, states[i + 1]!, Math.min(1, place - i)];
      const v = from.v + w * (to.v - from.v);
      return { travelM: from.x + (w * STEP_S * (from.v + v)) / 2, speedMPerS: v };
    },
  };
}

type Slopes = (t: number, y: readonly number[], moving: boolean) => number[];

function advanced(slopes: Slopes, t: number, y: readonly number[], moving: boolean): number[] {
  const along = (k: readonly number[], h: number) => y.map((one, i) => one + h * k[i]!);
  const k1 = slopes(t, y, moving);
  const k2 = slopes(t + STEP_S / 2, along(k1, STEP_S / 2), moving);
  const k3 = slopes(t + STEP_S / 2, along(k2, STEP_S / 2), moving);
  const k4 = slopes(t + STEP_S, along(k3, STEP_S), moving);
  return y.map((one, i) => one + (STEP_S / 6) * (k1[i]! + 2 * k2[i]! + 2 * k3[i]! + k4[i]!));
}

/** kg/s from one side to the other by ISO 6358; the root at equal pressures smoothed over a thousandth. */
function flow(c: number, b: number, fromPa: number, fromK: number, toPa: number, toK: number): number {
  if (c === 0) return 0;
  if (toPa > fromPa) return -flow(c, b, toPa, toK, fromPa, fromK);
  const z = (1 - toPa / fromPa) / (1 - b);
  const ratio = z >= 1 ? 1 : Math.sqrt(2 - z) * (z / Math.sqrt(z + 1e-6));
  return c * DENSITY_0 * fromPa * Math.sqrt(TEMPERATURE_0 / fromK) * ratio;
}
