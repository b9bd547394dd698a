import { describe, expect, it } from "vitest";
import { inputAtPath } from "../../../src/shared/inputs/all-inputs.ts";
import { freshElastic } from "../../../src/shared/launchers/elastic/fresh-elastic.ts";
import { guessesIn, guessWords, isGuess } from "../../../src/shared/launchers/guesses.ts";
import { freshRam, GUESSED_ROD_CHAMBER } from "../../../src/shared/launchers/ram/fresh-ram.ts";
import { freshRocket } from "../../../src/shared/launchers/rocket/fresh-rocket.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Launcher } from "../../../src/shared/session/schema.ts";
import { oneOfEach } from "../../support/one-of-each.ts";

const RAM = freshRam();

function saidOf(launcher: Launcher) {
  const fresh = freshSession("");
  const conditions = { ...freshShot("s", "", null).conditions, gaugePressurePa: { value: 3e5, u: 3e3 } };
  const session = oneOfEach({
    ...fresh,
    airframe: { ...fresh.airframes[0]!, massKg: { value: 0.3, u: 0.002 } },
    launcher,
    shots: [{ ...freshShot("shot-1", "Shot 1", null), conditions }],
  });
  return predictShot(session, session.shots[0]!).notices.filter(({ code }) => code === "launcher-guessed");
}

describe("guesses", () => {
  it("are all uncertain numbers of a launcher that nobody has typed in", () => {
    expect(guessesIn(RAM)).toEqual([
      "tankVolumeM3",
      "boreM",
      "strokeM",
      "deadVolumeM3",
      "openingS",
      "movingMassKg",
      "angleRad",
      "breakawayN",
      "slidingN",
      "viscousNsPerM",
      "valve.conductance",
      "valve.criticalRatio",
    ]);
    expect(guessesIn(freshElastic())).toContain("drawM");
    // Its delay and its booster's mass are exact: none of either.
    expect(guessesIn(freshRocket())).toContain("motors.0.thrust.totalImpulseNs");
    expect(guessesIn(freshRocket())).not.toContain("motors.0.delayS");
  });

  it("are no longer any once the value or its u is another", () => {
    const { boreM } = RAM;
    const typed = {
      ...RAM,
      boreM: { value: boreM.value, u: 1e-4 },
      slidingN: { value: 6, u: RAM.slidingN.u },
    };
    expect(guessesIn(typed)).not.toContain("boreM");
    expect(guessesIn(typed)).not.toContain("slidingN");
    expect(guessesIn(typed)).toHaveLength(guessesIn(RAM).length - 2);
  });

  it("are told by place and kind: a part the form fills in, a shot's air, nothing of another kind", () => {
    const { kind } = RAM;
    expect(isGuess(kind, "launcher.rodChamber.volumeM3", GUESSED_ROD_CHAMBER.volumeM3)).toBe(true);
    expect(isGuess(null, "shots[].conditions.temperatureK", { value: 288.15, u: 10 })).toBe(true);
    expect(isGuess(null, "shots[].conditions.temperatureK", { value: 288.15, u: 1 })).toBe(false);
    expect(isGuess("rocket-boost", "launcher.boreM", RAM.boreM)).toBe(false);
    expect(isGuess(kind, null, RAM.boreM)).toBe(false);
    expect(inputAtPath("launcher.boreM", kind)).not.toBeNull();
  });

  it("are named with a prediction, the first three and how many more; none of a launcher that is stated", () => {
    const [said, ...more] = saidOf(RAM);
    expect(more).toEqual([]);
    expect(said!.level).toBe("warning");
    expect(said!.cause).toMatch(
      /^The .+, .+ and 9 more are guesses that the launcher began with; nobody has stated them\.$/,
    );
    const stated = Object.fromEntries(
      Object.entries(RAM).map(([key, of]) => [
        key,
        typeof of === "object" && of !== null && "u" in of ? { ...of, u: 1e-9 } : of,
      ]),
    ) as unknown as typeof RAM;
    const one = saidOf({ ...stated, valve: { ...RAM.valve, conductance: { value: 5e-8, u: 1e-9 } } });
    expect(one[0]!.cause).toBe(
      `${capital(guessWords(RAM, ["valve.criticalRatio"])[0]!)} is a guess that the launcher began with; nobody has stated it.`,
    );
    const valve = { conductance: { value: 5e-8, u: 1e-9 }, criticalRatio: { value: 0.3, u: 0.05 } };
    expect(saidOf({ ...stated, valve })).toEqual([]);
  });
});

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
