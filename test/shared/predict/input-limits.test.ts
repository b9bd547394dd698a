import { describe, expect, it } from "vitest";
import { clockChecksOf } from "../../../src/shared/measure/clock-checks.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { pushTrack } from "../../../src/shared/measure/push-track.ts";
import { askOf, nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { sessionFaults } from "../../../src/shared/session/input-faults.ts";
import { openSession } from "../../../src/shared/session/open-session.ts";
import type { RamLauncher, Session, Shot } from "../../../src/shared/session/schema.ts";
import { tuneSession } from "../../../src/shared/tune/tune-session.ts";
import { FULL_FACTS, fullSession } from "../../stress/full-sessions.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, LAUNCHER, oneOfEach } from "../../support/one-of-each.ts";

/*
 * A document whose numbers cannot be still opens: what rests on them is refused with the
 * reason, and nothing else is.
 */
const FULL = fullSession("compressed-air-ram");

function withLauncher(part: Partial<RamLauncher>): Session {
  return oneOfEach({
    ...FULL,
    tuning: undefined,
    launcher: { ...(firstOf(FULL).launcher as RamLauncher), ...part },
  });
}

function withShot(at: number, part: Partial<Shot>): Session {
  return { ...FULL, shots: FULL.shots.map((shot, i) => (i === at ? { ...shot, ...part } : shot)) };
}

const refusals = (session: Session, shotId: string) =>
  measureShot(session, shotId, FULL_FACTS).notices.filter(({ level }) => level === "refusal");

describe("a session of all plausible numbers", () => {
  it("has no fault and no notice of an odd input, in each full sample", () => {
    expect(sessionFaults(FULL)).toEqual([]);
    for (const kind of ["rocket-boost", "elastic-line", "no-model"] as const) {
      expect(sessionFaults(fullSession(kind)), kind).toEqual([]);
    }
  });
});

describe("a sonic conductance of 15660 instead of 15.66 dm³/(s·bar)", () => {
  const { valve } = firstOf(FULL).launcher as RamLauncher;
  const slipped = withLauncher({ valve: { ...valve, conductance: { value: 15660e-8, u: 1e-8 } } });

  it("opens, and is refused by name with the likely slip where it is used, while the shot is measured all the same", () => {
    expect(openSession(JSON.parse(JSON.stringify(slipped))).ok).toBe(true);
    const { measurement, prediction, notices } = measureShot(slipped, "shot-1", FULL_FACTS);
    expect(measurement).not.toBeNull();
    expect(prediction).toBeNull();
    expect(notices).toContainEqual({
      level: "refusal",
      code: ofShot("impossible-input"),
      cause: "15660 dm³/(s·bar) cannot be the valve's sonic conductance (0.0001 to 2000 dm³/(s·bar)).",
      remedy:
        "Was it typed in cm³/(s·bar) or L/(min·bar)? Then it is 15.66 dm³/(s·bar) or 261 dm³/(s·bar). " +
        "Correct it under Model. In the document it is launchers[0].valve.conductance.value.",
      about: "model",
      path: "launcher.valve.conductance",
    });
    expect(notices.filter(({ code }) => code === "people-down-range")).toHaveLength(1); // cautions stay
  });

  it("keeps neither the next shot nor a tuning busy: both refuse with the reason", () => {
    const report = nextShot(
      slipped,
      slipped.shots[0]!,
      askOf(slipped.nextShot, firstOf(slipped).launcher),
      [],
    );
    expect(report.answer).toBeNull();
    expect(report.notices.map(({ code }) => code)).toContain(ofShot("impossible-input"));
    const { track } = pushTrack(filmedShot(slipped, slipped.shots[0]!), FULL_FACTS);
    const request = {
      launcherId: LAUNCHER,
      parameters: ["slidingN"],
      shotIds: ["shot-1"],
      heldOutShotIds: [],
    };
    const tuned = tuneSession(slipped, request, new Map([["shot-1", track!]]));
    expect(tuned).toMatchObject({ ok: false, fault: { code: ofShot("impossible-input") } });
  });
});

describe("a model that cannot be followed in reasonable time", () => {
  const { valve } = firstOf(FULL).launcher as RamLauncher;
  // Possible, each of them, and together so stiff that the unbounded model takes minutes.
  const stiff = withLauncher({
    valve: { ...valve, conductance: { value: 2e-5, u: 1e-8 } },
    deadVolumeM3: { value: 1e-9, u: 0 },
    moreValves: [],
  });

  it("ends in a refusal that names the input farthest from what is usual", () => {
    const { prediction, notices } = predictShot(stiff, stiff.shots[0]!);
    if (prediction === null) {
      const refusal = notices.find(({ code }) => /^too-/.test(code))!;
      expect(`${refusal.cause} ${refusal.remedy}`).toMatch(/dead volume|conductance/);
    }
    expect(notices.filter(({ code }) => code === "odd-input").map(({ cause }) => cause)).toEqual([
      expect.stringMatching(/^0\.001 mL is far outside what is usual for the dead volume/),
      expect.stringMatching(
        /^2000 dm³\/\(s·bar\) is far outside what is usual for the valve's sonic conductance/,
      ),
    ]);
  });
});

describe("work beyond what is allowed", () => {
  it("of a prediction, a next shot or a tuning is refused, naming the input farthest from what is usual", () => {
    const long = withLauncher({ strokeM: { value: 7.9, u: 0.01 } });
    const shot = long.shots[0]!;
    const named = expect.stringMatching(/^Check the stroke first \(launchers\[0\]\.strokeM, 7900 mm\)/);
    expect(predictShot(long, shot, 1000).notices[0]).toMatchObject({
      code: ofShot("too-much-work"),
      remedy: named,
    });
    expect(
      nextShot(long, shot, askOf(long.nextShot, firstOf(long).launcher), [], 1000).notices,
    ).toMatchObject([{ level: "refusal", code: ofShot("too-much-work"), remedy: named, about: "next-shot" }]);
    const { track } = pushTrack(filmedShot(long, shot), FULL_FACTS);
    const request = {
      launcherId: LAUNCHER,
      parameters: ["slidingN"],
      shotIds: ["shot-1"],
      heldOutShotIds: [],
    };
    const tuned = tuneSession(long, request, new Map([["shot-1", track!]]), 1000);
    expect(tuned).toMatchObject({ ok: false, fault: { code: ofShot("too-much-work"), remedy: named } });
  });

  it("is never reached by the full samples", () => {
    for (const kind of ["compressed-air-ram", "rocket-boost", "elastic-line"] as const) {
      const session = fullSession(kind);
      // A tenth of what is allowed does.
      expect(predictShot(session, session.shots[0]!, 3e5).prediction, kind).not.toBeNull();
    }
  });
});

describe("one bad shot", () => {
  const crooked = withShot(1, {
    clock: { ...FULL.shots[1]!.clock!, repeats: { frames: [20, 13], kind: "stale" } } as Shot["clock"],
  });

  it("is refused by the field and what it holds; the other is measured to the same numbers as without it", () => {
    expect(refusals(crooked, "shot-2")).toContainEqual({
      level: "refusal",
      code: ofShot("impossible-input"),
      cause: "The repeated frames must increase, and hold [20, 13].",
      remedy: "Enter them again under Clock, each once. In the document it is shots[1].clock.repeats.frames.",
      about: "clock",
      path: "shots[1].clock.repeats.frames",
    });
    // Which frames its camera took is not known, so its own check of the rate is left out too.
    const { lamp: _lamp, ...second } = FULL.shots[1]!;
    const others = FULL.shots.map((shot, i) => (i === 1 ? { ...second, marks: [] } : shot));
    const alone = measureShot({ ...FULL, shots: others }, "shot-1", FULL_FACTS).measurement!.quantities;
    expect(measureShot(crooked, "shot-1", FULL_FACTS).measurement!.quantities).toEqual(alone);
  });

  const none = { checks: [], notices: [] };
  // They find the rate from the frames that the camera took, and need no rate of the shot.
  const asEver = clockChecksOf(filmedShot(FULL, FULL.shots[0]!), FULL_FACTS);
  it.each<[string, Partial<Shot>, RegExp, typeof asEver]>([
    [
      "frames of a lamp out of order",
      { lamp: { intervalS: { value: 0.02, u: 0 }, frames: [9, 4] } },
      /lamp\.frames/,
      none,
    ],
    [
      "gaps out of order",
      {
        clock: {
          kind: "capture-rate",
          captureRateHz: { value: 480, u: 1 },
          gaps: [
            { afterFrame: 9, missing: 1 },
            { afterFrame: 4, missing: 1 },
          ],
        },
      },
      /clock\.gaps/,
      none,
    ],
    [
      "a capture rate of nothing",
      { clock: { ...FULL.shots[0]!.clock!, captureRateHz: { value: 0, u: 1 } } as Shot["clock"] },
      /clock\.captureRateHz/,
      asEver,
    ],
    [
      "a temperature below absolute zero",
      { conditions: { ...FULL.shots[0]!.conditions, temperatureK: { value: 1e-3, u: 1 } } },
      /conditions\.temperatureK\.value/,
      none,
    ],
  ])("with %s is refused, and its checks are left out where they rest on it", (_, part, path, checks) => {
    const session = withShot(0, part);
    expect(refusals(session, "shot-1").map(({ remedy }) => remedy)).toContainEqual(
      expect.stringMatching(path),
    );
    expect(clockChecksOf(filmedShot(session, session.shots[0]!), FULL_FACTS)).toEqual(checks);
    expect(asEver.checks).not.toEqual([]);
  });

  it("with a mark far beyond where the lens folds says where nothing can be seen", () => {
    const marks = FULL.shots[0]!.marks.map((mark, i) => (i === 3 ? { ...mark, y: 400_000 } : mark));
    const lens = { ...FULL.cameras[0]!.lens!, k1: -0.05, k2: 0, k3: 0 }; // folds 2300 px from its centre
    const session = { ...withShot(0, { marks }), cameras: [{ ...FULL.cameras[0]!, lens }] };
    expect(refusals(session, "shot-1")).toContainEqual(
      expect.objectContaining({ code: ofShot("unseen-place"), cause: expect.stringContaining("400000 px") }),
    );
  });

  it("with release beyond its timestamps is refused by the frame", () => {
    const session = withShot(1, { release: { by: "person", frame: 139, uFrames: 1 } });
    expect(refusals(session, "shot-2")).toContainEqual(
      expect.objectContaining({ code: ofShot("beyond-clip"), cause: expect.stringContaining("frame 139") }),
    );
  });
});

describe("odd numbers", () => {
  it("of one kind are noticed together, under their heading", () => {
    const marks = FULL.shots[0]!.marks.map((mark) => ({ ...mark, u: 300 }));
    const found = measureShot(withShot(0, { marks }), "shot-1", FULL_FACTS).notices.filter(
      ({ code }) => code === "odd-input",
    );
    expect(found).toEqual([
      expect.objectContaining({
        level: "warning",
        about: "marks",
        cause: `300 px is far outside what is usual for a mark's uncertainty (0.005 to 100 px). So are ${marks.length - 1} others of the same kind.`,
      }),
    ]);
  });

  it("of the launcher are told once, by the prediction", () => {
    const codes = measureShot(
      withLauncher({ strokeM: { value: 20, u: 0.01 } }),
      "shot-1",
      FULL_FACTS,
    ).notices.map(({ code }) => code);
    expect(codes.filter((code) => code === "odd-input")).toHaveLength(1);
  });
});
