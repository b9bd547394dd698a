import { describe, expect, it } from "vitest";
import { repeatedFrames } from "../../../src/shared/clock/repeated-frames.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

/**
 * Differences of n frames: new pictures 12 to 40 grey levels, repeats 0 to 2, as
 * measured on clips coded anew.
 */
function moving(n: number, isRepeat: (k: number) => boolean, seed = 1): (number | null)[] {
  const chance = createChance(seed);
  return Array.from({ length: n }, (_, k) => {
    if (k === 0) return null;
    return isRepeat(k) ? Math.floor(3 * chance.uniform()) : 12 + Math.floor(28 * chance.uniform());
  });
}
const framesWhere = (n: number, test: (k: number) => boolean) =>
  Array.from({ length: n }, (_, k) => k).filter((k) => k > 0 && test(k));

describe("repeatedFrames", () => {
  it("finds doubled frames, all but the first that has no step before it", () => {
    const isRepeat = (k: number) => k % 2 === 1;
    const found = unwrap(repeatedFrames(moving(61, isRepeat)));
    expect(found.frames).toEqual(framesWhere(60, isRepeat).slice(1));
    expect(found.undecidable).toEqual([{ from: 1, to: 1 }]);
    expect(found.period).toEqual({
      everyFrames: 2,
      repeats: 1,
      agreement: 1,
      frames: framesWhere(61, isRepeat),
    });
    expect(found.fraction).toBeCloseTo(29 / 59, 12);
  });

  it.each([3, 5, 6, 25])("finds every %dth repeated, whatever the phase", (p) => {
    for (const phase of [0, 2]) {
      const isRepeat = (k: number) => k % p === phase && k > 1;
      const found = unwrap(repeatedFrames(moving(150, isRepeat, p + phase)));
      expect(found.frames).toEqual(framesWhere(149, isRepeat));
      expect(found.period).toMatchObject({ everyFrames: p, repeats: 1, agreement: 1 });
    }
  });

  it("finds pictures shown four times, three repeats in four frames", () => {
    const found = unwrap(repeatedFrames(moving(80, (k) => k % 4 !== 0)));
    expect(found.period).toMatchObject({ everyFrames: 4, repeats: 3 });
  });

  it("finds none in an ordinary clip, and reports single ones with no period", () => {
    expect(unwrap(repeatedFrames(moving(100, () => false)))).toEqual({
      frames: [],
      fraction: 0,
      judged: 99,
      period: null,
      undecidable: [],
    });
    const single = unwrap(repeatedFrames(moving(100, (k) => k === 31 || k === 32 || k === 77)));
    expect(single.frames).toEqual([31, 32, 77]);
    expect(single.period).toBeNull();
  });

  it("does not take rest, slow start, or a turning point for repeats", () => {
    // At rest, then moving off: 0 to 2, then rising.
    const start = [null, 1, 0, 2, 1, 0, 1, 2, 3, 5, 8, 12, 17, 23, 30, 36];
    expect(unwrap(repeatedFrames(start))).toMatchObject({ frames: [], undecidable: [{ from: 1, to: 9 }] });
    // Something swings to a stop and back.
    const turn = [null, 20, 18, 15, 12, 8, 5, 2, 1, 2, 5, 8, 12, 15, 18, 20];
    expect(unwrap(repeatedFrames(turn))).toMatchObject({ frames: [], undecidable: [{ from: 6, to: 10 }] });
    // One jolt in a still scene.
    const jolt = [null, 1, 0, 1, 1, 40, 1, 0, 1, 1, 0, 1, 1, 0, 1, 0];
    expect(unwrap(repeatedFrames(jolt))).toMatchObject({ frames: [], judged: 1 });
  });

  it("takes a repeat that coding left at 8 levels for one beside steps of 55, and no step of 20 beside 90", () => {
    const steps = [null, 78, 8, 55, 1, 73, 2, 95, 20, 90, 88, 92];
    expect(unwrap(repeatedFrames(steps)).frames).toEqual([2, 4, 6]);
  });

  it("follows the pattern through a still stretch, while calling that stretch undecidable", () => {
    const isRepeat = (k: number) => k % 5 === 3;
    const differences = moving(120, isRepeat).map((d, k) => (k >= 40 && k < 60 ? 1 : d));
    const found = unwrap(repeatedFrames(differences));
    expect(found.period?.frames).toEqual(framesWhere(120, isRepeat));
    expect(found.undecidable).toEqual([{ from: 40, to: 59 }]);
    expect(found.frames).toEqual(framesWhere(120, (k) => isRepeat(k) && (k < 40 || k >= 60)));
  });

  it("names a pattern although one frame in fifty is misjudged, and not when two halves differ in phase", () => {
    const isRepeat = (k: number) => k % 5 === 3;
    const misjudged = unwrap(repeatedFrames(moving(100, (k) => isRepeat(k) !== (k === 33 || k === 50))));
    expect(misjudged.period).toMatchObject({ everyFrames: 5, agreement: 97 / 99 });
    const slipped = unwrap(repeatedFrames(moving(100, (k) => (k < 50 ? k % 5 === 3 : k % 5 === 1))));
    expect(slipped.period).toBeNull();
  });

  it("refuses too few frames and a still clip, with what it lacks", () => {
    expect(repeatedFrames([null, 20, 20])).toEqual({
      ok: false,
      code: "too-few-frames",
      numbers: { frames: 3, neededFrames: 8 },
    });
    const still = repeatedFrames([null, 0, 1, 2, 1, 0, 0, 1, 2, 1]);
    expect(still).toEqual({ ok: false, code: "nothing-moves", numbers: { largest: 2, needed: 6 } });
  });

  it("throws on a list that is not differences", () => {
    expect(() => repeatedFrames([0, 1, 2, 3, 4, 5, 6, 7])).toThrow(/difference 0 is 0/);
    expect(() => repeatedFrames([null, 1, Number.NaN, 3, 4, 5, 6, 7])).toThrow(/difference 2 is NaN/);
    expect(() => repeatedFrames([null, 1, 2, null, 4, 5, 6, 7])).toThrow(/difference 3 is null/);
  });
});
