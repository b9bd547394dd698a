import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Launcher } from "../../../src/shared/session/schema.ts";
import { CURVE } from "../../shared/launch/rocket/rocket-cases.ts";
import { ramSession, ramShot } from "../../shared/next-shot/ram-session.ts";
import { calmShot, elasticSession, exactly } from "../../shared/predict/elastic-line.ts";
import { LAUNCHER, oneOfEach } from "../../support/one-of-each.ts";
import { cli } from "../../support/run-cli.ts";
import { snapshotOf, temporaryFolder } from "../../support/temporary-folder.ts";

// biome-ignore lint/suspicious/noExplicitAny: these tests break documents at places the types forbid
type Loose = any;

const motor = (id: string) => ({
  id,
  name: id,
  thrust: { by: "curve", points: CURVE },
  thrustScale: exactly(1),
  propellantKg: exactly(0.0108),
  aheadM: exactly(-0.2),
  aboveM: exactly(0),
  rightM: exactly(0),
  tiltUpRad: exactly(0),
  tiltRightRad: exactly(0),
  delayS: exactly(0),
  lit: true,
  ejectionS: null,
});

/** A session of each kind of launcher whose shot is predicted to leave at 7 m/s or faster. */
const SESSIONS = {
  ram: { ...ramSession({}, {}, 1), shots: [ramShot({ value: 4e5, u: 2e3 })] },
  elastic: { ...elasticSession(), shots: [calmShot()] },
  rocket: oneOfEach({
    ...elasticSession(),
    launcher: {
      kind: "rocket-boost",
      name: "Twin cradle",
      angleRad: exactly(0.35),
      railM: exactly(1),
      slidingN: exactly(0),
      boosterKg: exactly(0),
      motors: [motor("left"), motor("right")],
    } as Launcher,
    shots: [calmShot()],
  }),
};

const TUNING = {
  parameters: ["valve.conductance"],
  shotIds: ["shot-1"],
  heldOutShotIds: [],
  tuned: {
    values: [{ value: 2.1e-7, u: 5e-9 }],
    correlation: [[1]],
    undetermined: [],
    scatter: 0.01,
    shotCount: 1,
  },
  use: true,
};

/** What is wrong, with which launcher, and how the refusal names the field. */
const BAD_MODELS: readonly [
  what: string,
  kind: keyof typeof SESSIONS,
  spoil: (session: Loose) => void,
  named: RegExp,
][] = [
  [
    "a negative tank volume",
    "ram",
    ({ launchers: [launcher] }) => {
      launcher.tankVolumeM3.value *= -1;
    },
    /launchers\[0\]\.tankVolumeM3\.value \(m³, tank volume .*got -0\.003, wanted a number above 0/,
  ],
  [
    "a stroke of zero",
    "ram",
    ({ launchers: [launcher] }) => {
      launcher.strokeM.value = 0;
    },
    /launchers\[0\]\.strokeM\.value \(m, travel .*got 0, wanted a number above 0/,
  ],
  [
    "a critical pressure ratio above 1",
    "ram",
    ({ launchers: [launcher] }) => {
      launcher.valve.criticalRatio.value = 1.2;
    },
    /1\.2 cannot be the valve's critical pressure ratio \(0 to 0\.9999\)/,
  ],
  [
    "a rod thicker than the bore",
    "ram",
    ({ launchers: [launcher] }) => {
      const vent = { conductance: exactly(1e-7), criticalRatio: exactly(0.3) };
      launcher.rodChamber = { rodDiameterM: exactly(0.05), volumeM3: exactly(3e-5), vent };
    },
    /cannot take 50 mm for the rod diameter/,
  ],
  [
    "a polytropic gas without its exponent",
    "ram",
    ({ launchers: [launcher] }) => {
      launcher.gas = "polytropic";
    },
    /lacks the exponent of the gas/,
  ],
  [
    "tuned values of an input that is not there",
    "ram",
    (session) => {
      session.tunings = [{ launcherId: LAUNCHER, ...TUNING, parameters: ["valve.width"] }];
    },
    /has no input “valve\.width”/,
  ],
  [
    "a tuned value for a part that holds several",
    "ram",
    (session) => {
      session.tunings = [{ launcherId: LAUNCHER, ...TUNING, parameters: ["valve"] }];
    },
    /has no input “valve”/,
  ],
  [
    "fewer tuned values than inputs",
    "ram",
    (session) => {
      session.tunings = [{ launcherId: LAUNCHER, ...TUNING, parameters: ["valve.conductance", "slidingN"] }];
    },
    /do not fit its 2 inputs/,
  ],
  [
    "a thrust curve out of order",
    "rocket",
    ({ launchers: [launcher] }) => {
      launcher.motors[1].thrust.points.reverse();
    },
    /Motor “right”: point 2 of the thrust curve is at .* which is not after/,
  ],
  [
    "a cradle of no length",
    "rocket",
    ({ launchers: [launcher] }) => {
      launcher.railM.value = 0;
    },
    /launchers\[0\]\.railM\.value \(m, travel along the cradle .*got 0, wanted a number above 0/,
  ],
  [
    "more propellant than airframe",
    "rocket",
    ({ launchers: [launcher] }) => {
      launcher.motors[0].propellantKg.value = 2;
    },
    /cannot take 0\.662 kg for the airframe's mass/,
  ],
  [
    "an elastic line's table out of order",
    "elastic",
    ({ launchers: [launcher] }) => {
      launcher.loading[2][0] = 0.4;
    },
    /cannot take 0\.4 m for the extension at point 3 of the loading table/,
  ],
  [
    "the line's two tables exchanged",
    "elastic",
    ({ launchers: [launcher] }) => {
      [launcher.loading, launcher.unloading] = [launcher.unloading, launcher.loading];
    },
    /The unloading table holds 378 J, more than the 312 J of the loading table/,
  ],
  [
    "no draw",
    "elastic",
    ({ launchers: [launcher] }) => {
      launcher.drawM.value = 0;
    },
    /launchers\[0\]\.drawM\.value \(m, extension .*got 0, wanted a number above 0/,
  ],
];

describe("predict, next-shot and measure", () => {
  async function folderWith(kind: keyof typeof SESSIONS, spoil: (session: Loose) => void): Promise<string> {
    const folder = await temporaryFolder();
    const session = JSON.parse(JSON.stringify(SESSIONS[kind]));
    spoil(session);
    await writeFile(join(folder, "loftmark.json"), JSON.stringify(session, null, 1));
    return folder;
  }

  it.each(Object.keys(SESSIONS) as (keyof typeof SESSIONS)[])(
    "predict the %s that the bad inputs are made from, and find its speed again",
    async (kind) => {
      const folder = await folderWith(kind, () => {});
      const told = await cli(["predict", folder, "--json"]);
      expect(told.status).toBe(0);
      const { value } = JSON.parse(told.out).shots[0].predicted.releaseSpeed;
      expect(value).toBeGreaterThan(7);
      expect((await cli(["next-shot", folder, "--speed", String(value)])).status).toBe(0);
    },
  );

  it.each(BAD_MODELS)(
    "exit 1 with %s, naming the field, and change nothing",
    async (_, kind, spoil, named) => {
      const folder = await folderWith(kind, spoil);
      const before = await snapshotOf(folder);
      for (const verb of [
        ["predict", folder],
        ["next-shot", folder, "--speed", "12"],
        ["measure", folder],
      ]) {
        const { status, err } = await cli(verb);
        expect([verb[0], status]).toEqual([verb[0], 1]);
        expect(flat(err), verb[0]).toMatch(named);
        expect(err).not.toMatch(/\n\s+at .+:\d+:\d+/); // no stack
      }
      expect(await snapshotOf(folder)).toEqual(before);
    },
  );

  it("predict refuses a tank below the air outside with its gauge pressure, next-shot a speed out of reach", async () => {
    const folder = await folderWith("ram", ({ shots }) => {
      shots[0].conditions.gaugePressurePa.value = -2e4;
    });
    const before = await snapshotOf(folder);
    const low = await cli(["predict", folder]);
    expect(low.status).toBe(1);
    expect(flat(low.err)).toContain(
      "The tank's gauge pressure of −0.2 bar is not above that of the air outside.",
    );
    const far = await cli(["next-shot", folder, "--speed", "300"]);
    expect(far.status).toBe(1);
    expect(flat(far.err)).toMatch(/Tank pressure, gauge: no value from .* bar gives the wanted 300 m\/s/);
    expect(await snapshotOf(folder)).toEqual(before);
  });

  it("predict leaves out the time to the ground of what would float for minutes", async () => {
    const folder = await folderWith("ram", ({ airframes: [airframe], shots }) => {
      airframe.dragAreaM2 = exactly(20);
      shots[0].conditions.releaseHeightM = exactly(500);
    });
    const { status, out } = await cli(["predict", folder, "--json"]);
    expect(status).toBe(0);
    const { predicted } = JSON.parse(out).shots[0];
    expect(predicted.releaseSpeed).toBeDefined();
    expect(predicted.timeToGround).toBeUndefined();
  });
});

/** Words without the line breaks and indents that a terminal gets. */
function flat(text: string): string {
  return text.replace(/\s+/g, " ");
}
