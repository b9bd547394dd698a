import { describe, expect, it } from "vitest";
import {
  type MeasuredRam,
  ramInputsOf,
  uncertainInputs,
} from "../../../../src/shared/launch/ram/ram-measured.ts";

let next = 0;
/** A different number each time, so that no two can be swapped unseen. */
const some = () => ({ value: 1 + 0.01 * ++next, u: 0.001 });
const valve = () => ({ conductance: some(), criticalRatio: { value: 0.2 + 0.001 * ++next, u: 0.01 } });
const RAM: MeasuredRam = {
  tankVolumeM3: some(),
  gaugePressurePa: some(),
  airPressurePa: some(),
  temperatureK: some(),
  boreM: { value: 3, u: 0.1 },
  strokeM: some(),
  deadVolumeM3: some(),
  valve: valve(),
  openingS: some(),
  moreValves: [
    { valve: valve(), openingS: some(), delayS: some() },
    { valve: valve(), openingS: some(), delayS: some() },
  ],
  leak: some(),
  sealShare: some(),
  stribeckMPerS: some(),
  supplyGaugePa: some(),
  feedConductance: some(),
  movingMassKg: some(),
  airframeMassKg: some(),
  angleRad: some(),
  breakawayN: some(),
  slidingN: some(),
  viscousNsPerM: some(),
  rodChamber: { rodDiameterM: some(), volumeM3: some(), vent: valve() },
  gas: "polytropic",
  polytropicExponent: { value: 1.2, u: 0.1 },
};

/** The measured number at a dotted path. */
const at = (path: string) =>
  path.split(".").reduce<unknown>((node, key) => (node as Record<string, unknown>)[key], RAM) as {
    value: number;
  };

describe("uncertainInputs and ramInputsOf", () => {
  const list = uncertainInputs(RAM);
  it("name every number by its path in the launcher, and put each back where it came from", () => {
    for (const { name, value } of list) expect(value, name).toBe(at(name).value);
    const inputs = ramInputsOf(
      RAM,
      list.map(({ value }) => value),
    );
    const plain = (path: string) => at(path).value;
    expect(inputs).toMatchObject({
      totalMassKg: plain("movingMassKg") + plain("airframeMassKg"),
      valve: { conductance: plain("valve.conductance"), criticalRatio: plain("valve.criticalRatio") },
      leak: plain("leak"),
      sealShare: plain("sealShare"),
      stribeckMPerS: plain("stribeckMPerS"),
      gas: "polytropic",
      polytropicExponent: 1.2,
      rodChamber: {
        rodDiameterM: plain("rodChamber.rodDiameterM"),
        volumeM3: plain("rodChamber.volumeM3"),
        vent: {
          conductance: plain("rodChamber.vent.conductance"),
          criticalRatio: plain("rodChamber.vent.criticalRatio"),
        },
      },
    });
    inputs.moreValves!.forEach((more, i) => {
      expect(more).toEqual({
        valve: {
          conductance: plain(`moreValves.${i}.valve.conductance`),
          criticalRatio: plain(`moreValves.${i}.valve.criticalRatio`),
        },
        openingS: plain(`moreValves.${i}.openingS`),
        delayS: plain(`moreValves.${i}.delayS`),
      });
    });
    expect(list.length).toBe(34);
  });
  it("hold a poorly known exponent between isothermal and adiabatic, and leave it out where it is not read", () => {
    expect(list.at(-1)).toMatchObject({ name: "polytropicExponent", low: 1, high: 1.4 });
    const adiabatic = { ...RAM, gas: "adiabatic" } as const;
    const names = uncertainInputs(adiabatic).map(({ name }) => name);
    expect(names).not.toContain("polytropicExponent");
  });
  it("leave out what the ram does not have", () => {
    const {
      moreValves: _,
      leak: __,
      sealShare: ___,
      stribeckMPerS: ____,
      supplyGaugePa: _____,
      feedConductance: ______,
      ...rest
    } = RAM;
    const bare: MeasuredRam = { ...rest, rodChamber: null, gas: "isothermal" };
    const few = uncertainInputs(bare);
    expect(few.length).toBe(16);
    const inputs = ramInputsOf(
      bare,
      few.map(({ value }) => value),
    );
    expect(inputs.moreValves).toBeUndefined();
    expect(inputs.leak).toBeUndefined();
    expect(inputs.rodChamber).toBeNull();
  });
});
