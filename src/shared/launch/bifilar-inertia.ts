import { STANDARD_GRAVITY } from "../quantity/gravity.ts";
import type { Measured } from "../quantity/measured.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { aboveZero, propagate, zeroOrMore } from "../uncertainty/propagate.ts";

/**
 * A body hung by two upright cords of equal length, its centre of gravity midway between them, turning to and
 * fro about the upright axis.
 */
export interface BifilarInputs {
  readonly massKg: number;
  /** m, between the cords, the same above and below. */
  readonly spacingM: number;
  readonly lengthM: number;
  /** s, one full swing. */
  readonly periodS: number;
  /** rad, greatest turn to one side while timing. */
  readonly swingRad: number;
}

// of the midpoint rule, which converges like a power on this periodic integrand: 16 already give 1e-12 at 30°
const NODES = 48;
const ROUNDS = 60;

/**
 * Moment of inertia about the upright axis through the centre of gravity, kg·m²: I = m g D² T₀²/(16 π² L),
 * with T₀ the period of small swings, found from the period timed by the exact period of a swing of that
 * size. I is the inertia about the axis that hangs upright: for pitch hang the airframe on its side. The air
 * carried along is not taken off: for a light airframe it adds to I. Source of the method: M. R. Jardin & E.
 * R. Mueller, AIAA 2007-6822.
 * @returns I; or "swing-too-wide" when the cords would have to be longer ({ swingRad, mostRad }),
 *   "no-inertia" when no inertia fits the period
 * @throws RangeError when an input is not positive and finite (the swing may be 0)
 */
export function bifilarInertia(inputs: BifilarInputs): Result<number, "swing-too-wide" | "no-inertia"> {
  for (const [name, x] of Object.entries(inputs)) {
    if (!((x > 0 || (name === "swingRad" && x === 0)) && x < Infinity)) {
      throw new RangeError(`bifilarInertia: ${name} must be > 0; got ${x}`);
    }
  }
  const { massKg, spacingM, lengthM, periodS, swingRad } = inputs;
  const mostRad = spacingM < lengthM ? Math.PI / 2 : 2 * Math.asin((0.5 * lengthM) / spacingM);
  if (swingRad > mostRad) return refuse("swing-too-wide", { swingRad, mostRad });
  const small = (massKg * STANDARD_GRAVITY * spacingM ** 2 * periodS ** 2) / (16 * Math.PI ** 2 * lengthM);
  let inertia = small;
  for (let i = 0; i < ROUNDS; i++) {
    // The heave's part of the period depends on I itself, weakly: repeating closes on it.
    const next = small / swingRatio({ massKg, spacingM, lengthM, inertiaKgM2: inertia, swingRad }) ** 2;
    if (Math.abs(next - inertia) <= 1e-14 * small) return ok(next);
    inertia = next;
  }
  return refuse("no-inertia");
}

/**
 * Period of a swing of a given size over that of a small one, 1, from the energies: ½ I ψ̇² + ½ m
 * ż² = m g (z_end − z), with the rise z = L − √(L² − D² sin²(ψ/2)) and its speed ż. For D << L
 * and small swings 1 + ψ²/16.
 */
export function swingRatio(inputs: {
  readonly massKg: number;
  readonly spacingM: number;
  readonly lengthM: number;
  readonly inertiaKgM2: number;
  readonly swingRad: number;
}): number {
  const { massKg, spacingM: d, lengthM: l, inertiaKgM2, swingRad } = inputs;
  if (swingRad === 0) return 1;
  const chord = (psi: number) => d * Math.sin(psi / 2);
  const reach = (psi: number) => Math.sqrt(l ** 2 - chord(psi) ** 2);
  let sum = 0;
  for (let i = 0; i < NODES; i++) {
    // ψ = ψ_end sin w takes the infinite slope out of the end of the swing.
    const w = ((i + 0.5) / NODES) * (Math.PI / 2);
    const psi = swingRad * Math.sin(w);
    const short = swingRad * Math.sin((Math.PI / 2 - w) / 2) ** 2; // (ψ_end − ψ)/2, without cancellation
    const fall = (d ** 2 * Math.sin(swingRad - short) * Math.sin(short)) / (reach(psi) + reach(swingRad));
    const heave = (d ** 2 * Math.sin(psi)) / (4 * reach(psi)); // dz/dψ
    sum +=
      Math.sqrt((inertiaKgM2 + massKg * heave ** 2) / (2 * massKg * STANDARD_GRAVITY * fall)) *
      swingRad *
      Math.cos(w);
  }
  const quarter = (sum * (Math.PI / 2)) / NODES;
  const small = 2 * Math.PI * Math.sqrt((4 * inertiaKgM2 * l) / (massKg * STANDARD_GRAVITY * d ** 2));
  return (4 * quarter) / small;
}

/**
 * `bifilarInertia` with its standard uncertainty for independent inputs: the spacing and
 * the period count double.
 */
export function measuredBifilarInertia(
  inputs: Readonly<Record<keyof BifilarInputs, Measured>>,
): Result<Measured, "swing-too-wide" | "no-inertia"> {
  const names = ["massKg", "spacingM", "lengthM", "periodS", "swingRad"] as const;
  const at = (values: readonly number[]) =>
    Object.fromEntries(names.map((name, i) => [name, values[i]])) as unknown as BifilarInputs;
  const centre = bifilarInertia(at(names.map((name) => inputs[name].value)));
  if (!centre.ok) return centre;
  const result = propagate(
    (values) => {
      const one = bifilarInertia(at(values));
      return one.ok ? [one.value] : null;
    },
    names.map((name) => (name === "swingRad" ? zeroOrMore : aboveZero)(name, inputs[name])),
  );
  return result.ok ? ok({ value: centre.value, u: result.value.u[0] }) : refuse("no-inertia");
}
