import { describe, expect, it } from "vitest";
import {
  inputAt,
  launcherInUse,
  tuningFault,
  withInput,
} from "../../../src/shared/predict/launcher-in-use.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { RamLauncher, Session, Tuning } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { shotsField } from "../../support/shots-field.ts";

const { session } = shotsField(1, [3.5e5]);
const launcher = firstOf(session).launcher as RamLauncher;
const shot = session.shots[0]!;

function tuned(part: Partial<NonNullable<Tuning["tuned"]>>, use = true): Session {
  return oneOfEach({
    ...session,
    tuning: {
      parameters: ["valve.conductance", "viscousNsPerM", "breakawayN"],
      shotIds: [],
      heldOutShotIds: [],
      tuned: {
        values: [
          { value: 1.5e-7, u: 8e-9 },
          { value: 6, u: 0.8 },
          { value: 1, u: 4 },
        ],
        correlation: [
          [1, 0.95, 0],
          [0.95, 1, 0],
          [0, 0, 1],
        ],
        undetermined: ["breakawayN"],
        scatter: 0,
        shotCount: 3,
        ...part,
      },
      use,
    },
  });
}

describe("launcherInUse", () => {
  it("is the launcher as stated until tuned values are there and to be used", () => {
    for (const one of [session, tuned({}, false)]) {
      expect(launcherInUse(firstOf(one))).toEqual({ launcher, joint: null });
    }
  });

  it("puts in an input of its kind that nobody stated and the shots showed, and no other", () => {
    const correlation = [0, 1, 2, 3].map((i) => [0, 1, 2, 3].map((j) => (i === j ? 1 : 0)));
    const other = (path: string) => [{ path, value: { value: 1.6e-8, u: 2e-9 }, moved: true }];
    const { leak: _, ...without } = launcher;
    const inUse = (path: string) =>
      launcherInUse({ ...firstOf(tuned({ others: other(path), correlation })), launcher: without }).launcher;
    expect(inUse("leak")).toMatchObject({ leak: { value: 1.6e-8, u: 2e-9 } });
    expect(inUse("gaugePressurePa")).not.toHaveProperty("gaugePressurePa");
    expect(inUse("rodChamber.volumeM3")).toMatchObject({ rodChamber: launcher.rodChamber });
  });

  it("puts tuned values in place, leaves undetermined ones as stated, and moves what moved besides", () => {
    const others = [
      { path: "deadVolumeM3", value: { value: 1.6e-4, u: 5e-6 }, moved: true },
      { path: "boreM", value: { value: 1, u: 3e-5 }, moved: false },
    ];
    const correlation = [0, 1, 2, 3, 4].map((i) => [0, 1, 2, 3, 4].map((j) => (i === j ? 1 : 0)));
    const { launcher: inUse } = launcherInUse(firstOf(tuned({ others, correlation })));
    expect(inUse).toEqual({
      ...launcher,
      valve: { ...launcher.valve, conductance: { value: 1.5e-7, u: 8e-9 } },
      viscousNsPerM: { value: 6, u: 0.8 },
      deadVolumeM3: { value: 1.6e-4, u: 5e-6 },
    });
  });

  it("lets predictions know that errors hang together: more valve with more friction leaves the speed surer", () => {
    const speed = (one: Session) => predictShot(one, shot).prediction!.quantities.releaseSpeed!;
    const apart = speed(
      tuned({
        correlation: [
          [1, 0, 0],
          [0, 1, 0],
          [0, 0, 1],
        ],
      }),
    );
    const together = speed(tuned({}));
    expect(together.value).toBe(apart.value);
    expect(together.u).toBeLessThan(0.8 * apart.u);
    expect(speed(tuned({}, false)).value).not.toBe(together.value);
  });
});

describe("tuningFault", () => {
  const of = (part: Partial<Tuning>, tunedPart: Parameters<typeof tuned>[0] = {}, use = true): Session => {
    const one = tuned(tunedPart, use);
    return oneOfEach({ ...one, tuning: { ...firstOf(one).tuning!, ...part } });
  };
  const unknown = { parameters: ["valve.conductance", "viscousNsPerM", "valve.width"] };

  it("finds nothing in values that fit, nor in those that are not to be used", () => {
    for (const one of [session, of({}), of(unknown, {}, false), of({ ...unknown, tuned: null })]) {
      expect(tuningFault(firstOf(one))).toBeNull();
    }
  });

  it.each([
    ["that is not there", "valve.width"],
    ["that is no number", "kind"],
    ["that holds several", "valve"],
    ["of a part that is not there", "rodChamber.volumeM3"],
  ])("names an input %s, and predictions refuse with the cautions in place", (_what, path) => {
    const one = of({ parameters: ["valve.conductance", "viscousNsPerM", path] });
    const fault = tuningFault(firstOf(one))!;
    expect(fault.code).toBe(ofShot("tuning-unknown-input"));
    expect(fault.cause).toContain(`no input “${path}”`);
    const { prediction, notices } = predictShot(one, shot);
    expect(prediction).toBeNull();
    expect(notices[0]).toEqual(fault);
    const cautions = (told: Session) =>
      predictShot(told, shot).notices.flatMap(({ code }) =>
        /stored|people|end-stop$/.test(code) ? code : [],
      );
    expect(cautions(one)).toEqual([
      ofShot("stored-pressure"),
      ofShot("end-stop"),
      ofShot("people-down-range"),
    ]);
    expect(cautions(one)).toEqual(cautions(session));
  });

  it.each([
    ["a value too few", { values: [{ value: 1.5e-7, u: 8e-9 }] }],
    ["a correlation for another number of inputs", { correlation: [[1]] }],
    [
      "a correlation beyond 1",
      {
        correlation: [
          [1, 5, 0],
          [5, 1, 0],
          [0, 0, 1],
        ],
      },
    ],
  ])("finds %s", (_what, part) => {
    expect(tuningFault(firstOf(of({}, part)))).toMatchObject({
      code: ofShot("tuning-broken"),
      cause: expect.stringContaining("do not fit its 3 inputs"),
    });
  });
});

describe("withInput and inputAt", () => {
  it("reach inputs inside valves and lists, and pass over what is not there", () => {
    const value = { value: 0.01, u: 0.001 };
    const more = { valve: launcher.valve, openingS: value, delayS: value };
    const wide: RamLauncher = { ...launcher, moreValves: [more, more] };
    const next = { value: 0.02, u: 0.002 };
    const changed = withInput(wide, "moreValves.1.delayS", next) as RamLauncher;
    expect(inputAt(changed, "moreValves.1.delayS")).toEqual(next);
    expect(inputAt(changed, "moreValves.0.delayS")).toEqual(value);
    expect(withInput(launcher, "rodChamber.volumeM3", next)).toEqual(launcher);
    expect(withInput(launcher, "valve", next)).toEqual(launcher);
    expect(inputAt(launcher, "moreValves.0.delayS")).toBeNull();
  });
});
