import { guess } from "../../../shared/inputs/launcher-rows.ts";
import {
  burnLimits,
  meanThrust,
  type ThrustCurve,
  totalImpulse,
  trapezoidCurve,
} from "../../../shared/launch/rocket/thrust-curve.ts";
import { freshRocket } from "../../../shared/launchers/rocket/fresh-rocket.ts";
import { elementAt } from "../../../shared/quantity/known-element.ts";
import type { Motor } from "../../../shared/session/schema.ts";

type Thrust = Motor["thrust"];
export type CurveThrust = Extract<Thrust, { by: "curve" }>;
export type PacketThrust = Extract<Thrust, { by: "trapezoid" }>;

/** One motor more, like the last but on the other side, under a name and id of its own. */
export function withOneMore(motors: readonly Motor[]): Motor[] {
  const ids = new Set(motors.map(({ id }) => id));
  let number = motors.length + 1;
  while (ids.has(`motor-${number}`)) number++;
  const last = motors.at(-1) ?? freshRocket().motors[0]!;
  const { rightM } = last;
  return [
    ...motors,
    {
      ...last,
      id: `motor-${number}`,
      name: `motor ${number}`,
      rightM: { ...rightM, value: rightM.value === 0 ? 0 : -rightM.value },
    },
  ];
}

/** What a packet would say of a measured curve; uncertain by a tenth until it is typed. */
export function packetOf({ points }: CurveThrust): PacketThrust {
  const [from, to] = points.some(([, f]) => f > 0) ? burnLimits(points, 0.5) : [0, 1];
  const end = points.at(-1)![0];
  const burnS = Math.max(end - elementAt(points, 0)[0], 1e-3);
  const share = (s: number) => guess(Math.min(Math.max(s, 0), 0.4 * burnS), 0.1);
  return {
    by: "trapezoid",
    totalImpulseNs: guess(Math.max(totalImpulse(points), 1e-3), 0.1),
    meanThrustN: guess(Math.max(meanThrust(points), 1e-3), 0.1),
    riseS: share(from),
    fallS: share(end - to),
  };
}

/** To six digits: these numbers are read and overwritten by a person. */
function tidy(x: number): number {
  return Number(x.toPrecision(6));
}

/**
 * The trapezoid of a packet as points to be overwritten; a rise and fall that do not
 * fit its burn are left out.
 */
export function curveOf(packet: PacketThrust): CurveThrust {
  const [totalImpulseNs, meanThrustN] = [packet.totalImpulseNs.value, packet.meanThrustN.value];
  const shaped = trapezoidCurve({
    totalImpulseNs,
    meanThrustN,
    riseS: packet.riseS.value,
    fallS: packet.fallS.value,
  });
  const burnS = totalImpulseNs / meanThrustN;
  const level: ThrustCurve = [
    [0, meanThrustN],
    [burnS, meanThrustN],
    [burnS, 0],
  ];
  // A curve's times increase: a jump becomes a rise or fall in a thousandth of the burn.
  const points: [number, number][] = [];
  for (const [t, f] of shaped.ok ? shaped.value : level) {
    const before = points.at(-1)?.[0] ?? -1;
    points.push([tidy(t > before ? t : before + burnS / 1000), tidy(f)]);
  }
  return { by: "curve", points };
}
