import { describe, expect, it } from "vitest";
import { clockSays } from "../../../src/shared/carry/carried-clock.ts";
import { settingSays } from "../../../src/shared/carry/carried-setting.ts";
import type { FoundPick } from "../../../src/shared/carry/find-pick.ts";
import { ratesBetween } from "../../../src/shared/carry/look-for-set-up.ts";
import { isBare, likelyModels, shotPicks } from "../../../src/shared/carry/sought-picks.ts";
import { type Taking, takenGroups, takeOverEdits } from "../../../src/shared/carry/take-over.ts";
import { errorKey } from "../../../src/shared/measure/common-error.ts";
import { statedInputs } from "../../../src/shared/measure/input-state.ts";
import { measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { pictureInputs } from "../../../src/shared/measure/picture-inputs.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { freshShot } from "../../../src/shared/session/fresh.ts";
import { type Session, SessionSchema, type Shot } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "../session/sample-session.ts";

const SAMPLE = sampleSession();
const FORMER: Shot = {
  ...SAMPLE.shots[0]!,
  clock: {
    kind: "capture-rate",
    captureRateHz: { value: 960, u: 2 },
    repeats: { frames: [4], kind: "stale" },
    gaps: [{ afterFrame: 9, missing: 1 }],
  },
  rods: [{ a: [100, 50], b: [600, 52], uPx: 0.4, rodM: { value: 1.04, u: 0.001 } }],
};
const SESSION: Session = { ...SAMPLE, shots: [FORMER, freshShot("shot-2", "second shot", "two.mov")] };
const PICKS = shotPicks(SESSION, FORMER);

function taking(change: (pick: FoundPick) => Partial<FoundPick> = () => ({})): Taking {
  const picks = PICKS.map(({ id, at: [x, y] }) => {
    const found: FoundPick = { id, at: [x + 3.2, y - 2.4], uPx: 0.05, doubt: null, by: "picture" };
    return { ...found, ...change(found) };
  });
  return {
    found: { frame: 17, picks, camera: { shiftPx: [3.2, -2.4], widthPx: 1280 } },
    accepted: new Set(),
    rates: "one",
  };
}

function takenOver(of: Taking, session = SESSION): Session {
  const after = takeOverEdits(session, "shot-2", "shot-1", of).reduce(applyEdit, session);
  return SessionSchema.parse(after);
}

describe("a shot made as a former one", () => {
  it("has its camera, clock, scale, lines, air and points, moved, and what is of one clip alone it has not", () => {
    const shot = takenOver(taking()).shots[1]!;
    expect(shot.clock).toEqual({ kind: "capture-rate", captureRateHz: { value: 960, u: 2 } });
    expect(shot.cameraId).toBe("side");
    expect(shot.conditions).toEqual({ ...FORMER.conditions, gaugePressurePa: null });
    expect(shot.release).toEqual({ by: "change-point" });
    expect(shot.scale).toEqual({
      a: [105.7, 607.8],
      b: [823.6, 602.4],
      aFrame: 17,
      bFrame: 17,
      uPx: 0.502, // 0.5 and 0.05
      rodM: { value: 1.5, u: 0.001 },
      carried: { a: [102.5, 610.2], b: [820.4, 604.8], uPx: 0.5 },
    });
    expect(shot.rods).toHaveLength(1);
    expect(shot.plumb?.carried).toEqual({ top: [900.1, 40.2], bottom: [903.7, 640.9], uPx: 0.6 });
    const [nose, tail] = shot.marks;
    expect(nose).toEqual({ pointId: "nose", frame: 17, x: 313.4, y: 399.7, u: 0.403, by: "hand" });
    expect(tail?.pointId).toBe("tail");
    expect(shot.marks).toHaveLength(2);
  });

  it("leaves out what is not sure, whole, unless a person looked at it", () => {
    const unsure = taking(({ id }) =>
      id === "plumb.top" || id === "point.tail" ? { doubt: { why: "moved", px: 5 } } : {},
    );
    const without = takenOver(unsure).shots[1]!;
    expect(without.plumb).toBeNull();
    expect(without.scale).not.toBeNull();
    expect(without.marks.map(({ pointId }) => pointId)).toEqual(["nose"]);
    const looked = { ...unsure, accepted: new Set(["plumb.top"]) };
    expect(takenOver(looked).shots[1]!.plumb).not.toBeNull();
    expect([...takenGroups(PICKS, looked)].sort()).toEqual(["plumb", "point.nose", "rods.0", "scale"]);
  });

  it("has no clock where the files tell of different rates, nor one with parts, and says so", () => {
    expect(takenOver({ ...taking(), rates: "differ" }).shots[1]!.clock).toBeNull();
    expect(clockSays(FORMER.clock, "differ", "Shot 1")).toMatch(/different rates.* not taken over/);
    const parts = [{ from: { value: 40, u: 0.3 }, captureRateHz: { value: 240, u: 1 } }];
    const clock = { kind: "capture-rate", captureRateHz: { value: 960, u: 2 }, parts } as const;
    const shots = [{ ...FORMER, clock }, SESSION.shots[1]!];
    expect(takenOver(taking(), { ...SESSION, shots }).shots[1]!.clock).toBeNull();
    expect(clockSays(clock, "one", "Shot 1")).toMatch(/has parts.* not taken over/);
  });

  it("knows the rates of two files as one, as untold, or as different", () => {
    const rates = (playbackRateHz: number, captureRateHz: number | null) => ({
      playbackRateHz,
      captureRateHz,
    });
    expect(ratesBetween(rates(30, 240), rates(29.97, 239.8))).toBe("one");
    expect(ratesBetween(rates(30, null), rates(30, null))).toBe("untold");
    for (const other of [rates(60, null), rates(30, 240)])
      expect(ratesBetween(rates(30, null), other)).toBe("differ");
    expect(ratesBetween(rates(30, 120), rates(30, 240))).toBe("differ");
  });

  it("adds what the camera may have turned by to the turn's u, whether one was stated or not, and says so", () => {
    const panned = (shiftPx: readonly [number, number], change: Partial<Shot> = {}) => {
      const session = { ...SESSION, shots: [{ ...FORMER, ...change }, SESSION.shots[1]!] };
      const camera = { shiftPx, widthPx: 1280 };
      const of = { ...taking(), found: { ...taking().found, camera } };
      return {
        setting: takenOver(of, session).shots[1]!.setting,
        says: settingSays(session, session.shots[0]!, camera),
      };
    };
    expect(panned([3.2, -2.4])).toEqual({ setting: undefined, says: "" });
    const far = panned([-128, 5]);
    expect(far.says).toContain("looks 5.7° otherwise at the flight");
    expect(far.setting!.turnRad).toEqual({ value: 0, u: 0.1 });
    expect(far.setting!.distanceM.value).toBeCloseTo((1.5 / 717.92) * 1280, 2);
    const stated = {
      distanceM: { value: 3, u: 0.1 },
      nearerM: { value: 0, u: 0.002 },
      turnRad: { value: 0.05, u: 0.02 },
    };
    // 3 m at 1.5 m in 717.92 px: a focal length of 1435.8 px
    const { turnRad } = panned([143.58, 0], { setting: stated }).setting!;
    expect(turnRad.value).toBe(0.05);
    expect(turnRad.u).toBeCloseTo(Math.hypot(0.02, 0.1), 4);
  });

  it("carried over twice, keeps what the hand picked, and adds both findings to the u", () => {
    const once = takenOver(taking());
    const shots = [...once.shots, freshShot("shot-3", "third", "three.mp4")];
    const session = { ...once, shots };
    const picks = shotPicks(session, shots[1]!).map(({ id, at: [x, y] }): FoundPick => {
      return { id, at: [x + 1, y], uPx: 0.05, doubt: null, by: "picture" };
    });
    const of: Taking = { ...taking(), found: { ...taking().found, picks } };
    const third = SessionSchema.parse(
      takeOverEdits(session, "shot-3", "shot-2", of).reduce(applyEdit, session),
    );
    expect(third.shots[2]!.scale).toMatchObject({
      a: [106.7, 607.8],
      uPx: 0.504, // 0.5, 0.05 and 0.05
      carried: { a: [102.5, 610.2], uPx: 0.5 },
    });
  });

  it("keeps the air that was typed for it, and takes the rest of the former shot's", () => {
    const [former, bare] = SESSION.shots;
    const temperatureK = { value: 277.4, u: 0.5 };
    const shots = [former!, { ...bare!, conditions: { ...bare!.conditions, temperatureK } }];
    expect(takenOver(taking(), { ...SESSION, shots }).shots[1]!.conditions).toEqual({
      ...FORMER.conditions,
      gaugePressurePa: null,
      temperatureK,
    });
  });

  it("never has what nothing says the place of, even where it is asked for", () => {
    const gone = taking(({ id }) =>
      id === "scale.a" ? { doubt: { why: "not-found", px: 0 }, by: "nothing" } : {},
    );
    expect(takenOver({ ...gone, accepted: new Set(["scale.a"]) }).shots[1]!.scale).toBeNull();
  });

  it("is offered to a bare shot, the one picked by hand before one that has it of another", () => {
    const [, second] = SESSION.shots;
    expect(isBare(second!)).toBe(true);
    const three = { ...takenOver(taking()) };
    const third = freshShot("shot-3", "third", "three.mov", second);
    const shots = [...three.shots, third];
    expect(likelyModels({ shots }, third).map(({ id }) => id)).toEqual(["shot-1", "shot-2"]);
    expect(isBare(shots[1]!)).toBe(false);
  });

  it("shares the errors of the picks and lengths themselves with it, and not what finding them again adds", () => {
    const session = takenOver(taking());
    const [one, two] = session.shots.map((shot) => errorsOf(session, shot)) as [Errors, Errors];
    const lost = [...one.keys()].filter((key) => !two.has(key));
    expect(lost.filter((key) => !/how far from the plane/.test(key))).toEqual([]);
    const own = [...two.keys()].filter((key) => !one.has(key) && !/how far from the plane/.test(key));
    expect(own).toHaveLength(9); // two rods' ends along two axes, and the plumb
    expect(own.every((key) => key.startsWith("found again in shot-2, "))).toBe(true);
    // px of the rod's end that the shared and the own error move it by are all of its u
    const moved = [...two.values()].map(([right]) => right);
    expect(Math.hypot(...moved)).toBeCloseTo(session.shots[1]!.scale!.uPx, 6);
  });
});

type Errors = Map<string, readonly [number, number]>;

/** By the key of each error of the picture: px that it moves the first rod's first end by, right and down. */
function errorsOf(session: Session, shot: Shot): Errors {
  const filmed = filmedShot(session, shot);
  const { setUp } = measuringSetUp(filmed, null);
  const held = statedInputs(shot, setUp!);
  return new Map(
    pictureInputs(setUp!).map((input) => {
      const { scale } = input.move(held, 1).shot;
      const [x, y] = shot.scale!.a;
      return [errorKey(held, input.move(held, 1)), [scale!.a[0] - x, scale!.a[1] - y]];
    }),
  );
}
