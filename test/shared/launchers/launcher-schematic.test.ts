import { expect, it } from "vitest";
import { freshElastic } from "../../../src/shared/launchers/elastic/fresh-elastic.ts";
import { launcherModel } from "../../../src/shared/launchers/launcher-models.ts";
import {
  launcherSchematic,
  type Schematic,
  speaksOf,
} from "../../../src/shared/launchers/launcher-schematic.ts";
import { freshRam, GUESSED_ROD_CHAMBER } from "../../../src/shared/launchers/ram/fresh-ram.ts";
import { freshRocket } from "../../../src/shared/launchers/rocket/fresh-rocket.ts";
import { cornersOf } from "../../../src/shared/launchers/sketch-layout.ts";
import type { Launcher, RamLauncher, RocketLauncher } from "../../../src/shared/session/schema.ts";

const WIDTH = 300;
const exact = (value: number) => ({ value, u: 0 });

/** Two motors side by side, the right one ahead and tilted. */
function pair(): RocketLauncher {
  const launcher = freshRocket();
  const [motor] = launcher.motors as [RocketLauncher["motors"][0]];
  const left = { ...motor, rightM: exact(-0.05) };
  const right = { ...motor, id: "motor-2", name: "motor 2", rightM: exact(0.08), tiltUpRad: exact(0.3) };
  return { ...launcher, motors: [left, right], boosterKg: exact(0.2) };
}

const STOPPED = { bufferTravelM: exact(0.02), ratedLoadN: 900 };
const KINDS: Readonly<Record<string, Launcher>> = {
  "a new ram": freshRam(),
  "a latched ram with all its parts": {
    ...freshRam(),
    rodChamber: GUESSED_ROD_CHAMBER,
    hold: "latch",
    endStop: STOPPED,
    baseRatedLoadN: 500,
    tankRatingPa: 8e5,
    pushBelowM: exact(-0.1),
  },
  "a new rocket": freshRocket(),
  "a rocket pair with a booster": pair(),
  "a new elastic line": freshElastic(),
  "seven lines, all stated": {
    ...freshElastic(),
    lines: 7,
    unloading: [
      [0, 0],
      [8, 66],
    ],
    freeLengthM: exact(150),
    drawM: exact(0.02),
    endStop: STOPPED,
    anchorRatedLoadN: 2000,
    carriageKg: exact(50),
  },
};

const drawn = (launcher: Launcher, width = WIDTH): Schematic =>
  launcherSchematic(launcher, width) as Schematic;
const turned = (launcher: Launcher, rad: number): Launcher =>
  ({ ...launcher, angleRad: exact(rad) }) as Launcher;
const partOf = (launcher: Launcher, name: string) =>
  drawn(launcher).parts.find((part) => speaksOf(part, name))!;

for (const [what, launcher] of Object.entries(KINDS)) {
  it(`draws ${what} with nothing beyond the edges, at every direction and width`, () => {
    for (let degrees = -90; degrees <= 90; degrees += 5) {
      for (const width of [180, 240, 300, 400]) {
        const schematic = drawn(turned(launcher, (degrees * Math.PI) / 180), width);
        const corners = schematic.parts.flatMap(({ shapes }) => shapes.flatMap(cornersOf));
        const at = `${degrees}° on ${width} px`;
        expect(Math.min(...corners.map(([x]) => x)), at).toBeGreaterThanOrEqual(0);
        expect(Math.min(...corners.map(([, y]) => y)), at).toBeGreaterThanOrEqual(0);
        expect(Math.max(...corners.map(([x]) => x)), at).toBeLessThanOrEqual(width);
        expect(Math.max(...corners.map(([, y]) => y)), at).toBeLessThanOrEqual(schematic.height);
        expect(schematic.height, at).toBeLessThan(240);
      }
    }
  });

  it(`has a part of ${what} for every input of its table`, () => {
    const { parts } = drawn(launcher);
    const names = launcherModel(launcher).inputs.map(({ path }) =>
      path.replace("launcher.", "").replace("motors[]", "motors.0"),
    );
    expect(names.length).toBeGreaterThan(10);
    expect(names.filter((name) => !parts.some((part) => speaksOf(part, name)))).toEqual([]);
  });

  it(`shows the direction of ${what} true`, () => {
    for (const rad of [-0.4, 0, 0.7, Math.PI / 2]) {
      const part = partOf(turned(launcher, rad), "angleRad");
      const arrow = part.shapes.find(({ form }) => form === "arrow")!;
      const [[x0, y0], [x1, y1]] = arrow.points as [[number, number], [number, number]];
      expect(Math.atan2(y0 - y1, x1 - x0)).toBeCloseTo(rad, 9);
    }
  });
}

it("draws nothing of a throw by hand", () => {
  expect(launcherSchematic({ kind: "no-model", name: "" }, WIDTH)).toBeNull();
});

it("tells guess, assumed ±, stated and missing apart, part by part", () => {
  const ram: RamLauncher = { ...freshRam(), boreM: { value: 0.032, u: 1e-4 } };
  expect(partOf(ram, "strokeM").standing).toBe("guess");
  expect(partOf(ram, "boreM").standing).toBe("stated");
  expect(partOf({ ...ram, boreM: { ...ram.boreM, assumed: true } }, "boreM").standing).toBe("guess");
  expect(partOf(ram, "endStop.bufferTravelM").standing).toBe("missing");
  expect(partOf({ ...ram, endStop: STOPPED }, "endStop.bufferTravelM").standing).toBe("stated");
  expect(partOf(ram, "endStop").shapes).toContainEqual(expect.objectContaining({ form: "label", text: "?" }));
});

it("finds a guess in one motor of a pair, not in the other", () => {
  const launcher = pair();
  const [first, second] = launcher.motors as [RocketLauncher["motors"][0], RocketLauncher["motors"][0]];
  const placed = { ...first, aheadM: exact(-0.3), aboveM: exact(0.01) };
  const both = { ...launcher, motors: [placed, second] };
  expect(partOf(both, "motors.0.aheadM").standing).toBe("stated");
  expect(partOf(both, "motors.1.aheadM").standing).toBe("guess");
});

it("takes a name for a part that it stands below, not for one that begins alike", () => {
  expect(speaksOf({ names: ["valve"] }, "valve.conductance")).toBe(true);
  expect(speaksOf({ names: ["moreValves"] }, "moreValves[].delayS")).toBe(true);
  expect(speaksOf({ names: ["valve"] }, "valveless")).toBe(false);
  expect(speaksOf({ names: ["motors.1"] }, "motors.10.aheadM")).toBe(false);
});
