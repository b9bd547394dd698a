import { pushPitch } from "../../launch/ram/push-pitch.ts";
import type { RamInputs, RamPrediction } from "../../launch/ram/ram-inputs.ts";
import type { MeasuredRam } from "../../launch/ram/ram-measured.ts";
import { lastOf } from "../../quantity/known-element.ts";
import type { Airframe } from "../../session/schema.ts";
import { aboveZero, type UncertainInput, zeroOrMore } from "../../uncertainty/propagate.ts";

/** What the pitch takes beside the push; what is missing in words, where it cannot be told. */
export type PitchInputs =
  | { readonly known: true; readonly list: readonly UncertainInput[]; readonly tipsOff: boolean }
  | { readonly known: false; readonly missing: readonly string[] };

/** The inputs of the pitch on this ram with this airframe, or which of them are not stated. */
export function pitchInputs(ram: MeasuredRam, { pitchInertiaKgM2: inertia }: Airframe): PitchInputs {
  const { pushBelowM, cradleStiffness, cradleDamping, lastSupportM, lastSupportBehindM } = ram;
  const tipsOff = lastSupportM !== undefined || lastSupportBehindM !== undefined;
  const missing = [
    ...(inertia === null ? ["the pitch inertia"] : []),
    ...(pushBelowM === undefined ? ["how far the push line passes below the balance point"] : []),
    ...(cradleStiffness === undefined ? ["the cradle's stiffness in pitch"] : []),
    ...(cradleDamping === undefined ? ["its damping"] : []),
    ...(tipsOff && lastSupportM === undefined ? ["the travel on the last support alone"] : []),
    ...(tipsOff && lastSupportBehindM === undefined ? ["where the last support is"] : []),
  ];
  if (missing.length > 0 || !inertia || !pushBelowM || !cradleStiffness || !cradleDamping) {
    return { known: false, missing };
  }
  const list: UncertainInput[] = [
    aboveZero("pitchInertiaKgM2", inertia),
    { name: "pushBelowM", value: pushBelowM.value, u: pushBelowM.u },
    zeroOrMore("cradleStiffness", cradleStiffness),
    zeroOrMore("cradleDamping", cradleDamping),
    ...(lastSupportM && lastSupportBehindM
      ? [
          zeroOrMore("lastSupportM", lastSupportM),
          { name: "lastSupportBehindM", value: lastSupportBehindM.value, u: lastSupportBehindM.u },
        ]
      : []),
  ];
  return { known: true, list, tipsOff };
}

/**
 * rad/s, nose up, at which the airframe pitches as it leaves the ram.
 * @param values of the list of `pitchInputs`
 */
export function pitchRateAtRelease(
  { angleRad, strokeM }: RamInputs,
  run: RamPrediction,
  airframeMassKg: number,
  values: readonly number[],
): number {
  const [pitchInertiaKgM2, pushBelowM, cradleStiffness, cradleDamping, travelM, behindM] =
    values as readonly [number, number, number, number, number | undefined, number | undefined];
  const tipOff = travelM === undefined || behindM === undefined ? null : { travelM, behindM };
  const seat = {
    airframeMassKg,
    pitchInertiaKgM2,
    angleRad,
    pushBelowM,
    cradleStiffness,
    cradleDamping,
    tipOff,
  };
  return lastOf(pushPitch(seat, run.motionAt, run.startS, run.exitS, strokeM)).rateRadPerS;
}
