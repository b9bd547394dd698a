import { describe, expect, it } from "vitest";
import { modelInput, modelInputOrNull } from "../../../src/shared/inputs/model-input.ts";
import { uncertainElastic } from "../../../src/shared/launch/elastic/elastic-inputs.ts";
import { uncertainInputs } from "../../../src/shared/launch/ram/ram-measured.ts";
import { rocketUncertainInputs } from "../../../src/shared/launch/rocket/rocket-measured.ts";
import type { Launcher } from "../../../src/shared/session/schema.ts";
import { fullSession } from "../../stress/full-sessions.ts";
import { firstOf } from "../../support/one-of-each.ts";

const airframeMassKg = { value: 0.6, u: 0.01 };
const air = {
  airPressurePa: { value: 101_325, u: 100 },
  temperatureK: { value: 288, u: 1 },
  headwindMPerS: { value: 0, u: 1 },
};

/** The names of a full launcher's uncertain inputs. */
function namesOf(launcher: Launcher): readonly string[] {
  switch (launcher.kind) {
    case "compressed-air-ram": {
      const gaugePressurePa = { value: 3e5, u: 5e3 };
      return uncertainInputs({ ...launcher, ...air, airframeMassKg, gaugePressurePa }).map(
        ({ name }) => name,
      );
    }
    case "rocket-boost": {
      const inertia = { value: 0.02, u: 0.002 };
      const airframe = { massKg: airframeMassKg, pitchInertiaKgM2: inertia, yawInertiaKgM2: inertia };
      const dragAreaM2 = { value: 0.01, u: 0.001 };
      const rocket = { ...launcher, ...air, ...airframe, dragAreaM2, turnsOnCradle: true };
      return rocketUncertainInputs(rocket).map(({ name }) => name);
    }
    case "elastic-line":
      return uncertainElastic({ ...launcher, airframeMassKg }).map(({ name }) => name);
    case "no-model":
      return [];
  }
}

describe("modelInput", () => {
  it.each(["compressed-air-ram", "rocket-boost", "elastic-line"] as const)(
    "knows every uncertain input of a full %s by a row of the table",
    (kind) => {
      const names = namesOf(firstOf(fullSession(kind)).launcher!);
      expect(names.length).toBeGreaterThan(5);
      expect(names.filter((name) => modelInputOrNull(kind, name)?.input == null)).toEqual([]);
      const words = names.map((name) => modelInput(kind, name).bare);
      expect(new Set(words).size).toBe(words.length);
    },
  );

  it("tells by the launcher what an input is called, and which one of a list it is", () => {
    expect(modelInput("compressed-air-ram", "slidingN").words).toBe("the sliding friction");
    expect(modelInput("rocket-boost", "slidingN").bare).toBe("friction along the cradle");
    expect(modelInput("compressed-air-ram", "moreValves.1.delayS").bare).toBe("delay of further valve 2");
    expect(modelInput("rocket-boost", "motors.1.thrust.riseS").unit.symbol).toBe("ms");
    expect(modelInput("elastic-line", "loading.2.1").words).toBe("the force at point 3 of the loading table");
    expect(modelInput("elastic-line", "airframeMassKg").words).toBe("the airframe's mass");
    expect(modelInput("rocket-boost", "headwindMPerS").words).toBe("the headwind");
    expect(modelInput("compressed-air-ram", "totalMassKg")).toMatchObject({
      input: null,
      words: "the mass of airframe and moving parts",
    });
  });

  it("throws on a name that the launcher has not", () => {
    expect(modelInputOrNull("elastic-line", "boreM")).toBeNull();
    expect(() => modelInput("elastic-line", "boreM")).toThrow(RangeError);
  });
});
