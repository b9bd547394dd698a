import type { Measured } from "../../quantity/measured.ts";
import { ok, type Result, refuse } from "../../quantity/result.ts";
import { aboveZero, propagate, zeroOrMore } from "../../uncertainty/propagate.ts";

/** What fills the tank; Q is a plain number in SI, or one with its standard uncertainty. */
export type FillMeans<Q = number> =
  | {
      readonly by: "hand-pump";
      /** m³, swept by one stroke. */
      readonly strokeVolumeM3: Q;
      /** m³, left in the pump up to its check valve at the end of a stroke. */
      readonly clearanceM3: Q;
      readonly strokesPerS: Q;
    }
  | {
      readonly by: "compressor";
      /** m³/s of air at the pressure outside. */
      readonly freeAirM3PerS: Q;
    };

export interface FillTask {
  readonly tankVolumeM3: number;
  /** Pa above the air outside, from where the tank starts. */
  readonly gaugePressurePa: number;
  readonly airPressurePa: number;
}

/**
 * Time to fill a tank from the pressure of the air outside to a gauge pressure, s, at the air's temperature
 * throughout (slow filling). Compressor of free air delivery Q: t = V p_g/(p_a Q); that its delivery falls
 * with pressure is left out. Hand pump of swept volume v, clearance c and f strokes a second: before the
 * stroke it holds p_a(v + c), after it tank and clearance are at one pressure, p' (V + c) = p V + p_a (v +
 * c). The pressure therefore nears p_a(1 + v/c) geometrically, and the number of strokes is n = ln(1 − p_g
 * c/(p_a v))/ln(V/(V + c)), which is p_g V/(p_a v) without clearance; t = n/f, part strokes counted.
 * Source: Boyle's law, stroke by stroke.
 * @returns s; or "cannot-reach" with the gauge pressure the pump ends at ({ mostPa })
 * @throws RangeError when a volume, pressure or rate is not positive and finite, or the clearance is negative
 */
export function fillTime(task: FillTask, means: FillMeans): Result<number, "cannot-reach"> {
  const { tankVolumeM3: vt, gaugePressurePa: gauge, airPressurePa: pa } = task;
  const positive: [string, number][] = [
    ["tankVolumeM3", vt],
    ["gaugePressurePa", gauge],
    ["airPressurePa", pa],
    ...(means.by === "compressor"
      ? ([["freeAirM3PerS", means.freeAirM3PerS]] as [string, number][])
      : ([
          ["strokeVolumeM3", means.strokeVolumeM3],
          ["strokesPerS", means.strokesPerS],
        ] as [string, number][])),
  ];
  for (const [name, x] of positive) {
    if (!(x > 0 && x < Infinity)) throw new RangeError(`fillTime: ${name} must be > 0; got ${x}`);
  }
  if (means.by === "compressor") return ok((vt * gauge) / (pa * means.freeAirM3PerS));
  const { strokeVolumeM3: swept, clearanceM3: clearance, strokesPerS } = means;
  if (!(clearance >= 0 && clearance < Infinity)) {
    throw new RangeError(`fillTime: clearanceM3 must be >= 0; got ${clearance}`);
  }
  const part = (gauge * clearance) / (pa * swept); // of the pressure the pump ends at
  if (part >= 1) return refuse("cannot-reach", { mostPa: (pa * swept) / clearance });
  const strokes =
    clearance === 0 ? (gauge * vt) / (pa * swept) : Math.log1p(-part) / -Math.log1p(clearance / vt);
  return ok(strokes / strokesPerS);
}

/**
 * `fillTime` with its standard uncertainty for independent inputs; "cannot-reach" also when it may
 * not within an input's u.
 */
export function measuredFillTime(
  task: Readonly<Record<keyof FillTask, Measured>>,
  means: FillMeans<Measured>,
): Result<Measured, "cannot-reach"> {
  const inputs = [
    aboveZero("tankVolumeM3", task.tankVolumeM3),
    aboveZero("gaugePressurePa", task.gaugePressurePa),
    aboveZero("airPressurePa", task.airPressurePa),
    ...(means.by === "compressor"
      ? [aboveZero("freeAirM3PerS", means.freeAirM3PerS)]
      : [
          aboveZero("strokeVolumeM3", means.strokeVolumeM3),
          aboveZero("strokesPerS", means.strokesPerS),
          zeroOrMore("clearanceM3", means.clearanceM3),
        ]),
  ];
  const timeAt = (values: readonly number[]) => {
    const [tankVolumeM3, gaugePressurePa, airPressurePa, first, strokesPerS, clearanceM3] = values;
    return fillTime(
      { tankVolumeM3: tankVolumeM3, gaugePressurePa: gaugePressurePa, airPressurePa: airPressurePa },
      means.by === "compressor"
        ? { by: "compressor", freeAirM3PerS: first }
        : { by: "hand-pump", strokeVolumeM3: first, strokesPerS: strokesPerS, clearanceM3: clearanceM3 },
    );
  };
  const centre = timeAt(inputs.map(({ value }) => value));
  if (!centre.ok) return centre;
  const result = propagate((values) => {
    const one = timeAt(values);
    return one.ok ? [one.value] : null;
  }, inputs);
  if (!result.ok) return refuse("cannot-reach", { mostPa: task.gaugePressurePa.value });
  return ok({ value: centre.value, u: result.value.u[0] });
}
