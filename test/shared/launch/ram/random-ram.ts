import type { RamInputs } from "../../../../src/shared/launch/ram/ram-inputs.ts";
import fc from "../../../support/drawn-inputs.ts";

/** A number from min to max in 4096 steps: doubles of every size would mostly be numbers that no ram has. */
export const amount = (min: number, max: number) =>
  fc.integer({ min: 0, max: 4096 }).map((i) => min + ((max - min) * i) / 4096);
const valve = fc.record({ conductance: amount(3e-8, 3e-7), criticalRatio: amount(0.1, 0.5) });
const vent = fc.record({ conductance: amount(1e-7, 5e-7), criticalRatio: amount(0.1, 0.5) });
const absent = <T>(one: fc.Arbitrary<T>) => fc.option(one, { nil: undefined });

/**
 * Rams of all shapes that builders make, most of which launch: up to three valves, with and without leak, rod
 * chamber and heat exchange. Mixed in size, so that no term is small in all of them.
 */
export const RANDOM_RAM: fc.Arbitrary<RamInputs> = fc
  .record({
    tankVolumeM3: amount(1e-3, 10e-3),
    gaugePressurePa: amount(2e5, 8e5),
    airPressurePa: amount(8e4, 1.05e5),
    temperatureK: amount(260, 310),
    boreM: amount(0.025, 0.06),
    strokeM: amount(0.2, 1.2),
    deadVolumeM3: amount(15e-6, 200e-6),
    valve,
    openingS: fc.oneof(fc.constant(0), amount(1e-3, 0.04)),
    moreValves: absent(
      fc.array(fc.record({ valve, openingS: amount(0, 0.03), delayS: amount(0, 0.03) }), { maxLength: 2 }),
    ),
    leak: absent(amount(1e-10, 1e-8)),
    sealShare: absent(amount(0, 0.2)),
    stribeckMPerS: absent(amount(0, 1)),
    totalMassKg: amount(0.2, 3),
    angleRad: amount(0, 1.5),
    breakawayN: amount(0, 40),
    slidingN: amount(0, 40),
    viscousNsPerM: amount(0, 10),
    rod: absent(fc.record({ part: amount(0.2, 0.7), volumeM3: amount(3e-5, 3e-4), vent })),
    gas: fc.constantFrom("adiabatic", "isothermal", "polytropic"),
    polytropicExponent: amount(1, 1.4),
  })
  .map(({ rod, ...ram }) => ({
    ...ram,
    rodChamber: rod ? { rodDiameterM: rod.part * ram.boreM, volumeM3: rod.volumeM3, vent: rod.vent } : null,
  }));
