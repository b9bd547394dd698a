import { describe, expect, it } from "vitest";
import {
  droppedByMotion,
  droppedByTimestamps,
  type PathMark,
} from "../../../src/shared/clock/dropped-frames.ts";
import { repeatKind } from "../../../src/shared/clock/repeat-kind.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";

const gapsOf = (found: readonly { afterFrame: number; missing: number }[]) =>
  found.map(({ afterFrame, missing }) => [afterFrame, missing]);

/** Marks of a steadily accelerating point at camera frames `taken`, numbered as the file numbers them. */
function path(taken: readonly number[], px = 8, acceleration = 0.1, u = 0.3): PathMark[] {
  const chance = createChance(5);
  return taken.map((t, frame) => {
    const s = px * t + 0.5 * acceleration * t * t;
    return { frame, x: 0.8 * s + u * chance.normal(), y: 500 - 0.6 * s + u * chance.normal(), u };
  });
}
const count = (n: number) => Array.from({ length: n }, (_, k) => k);

describe("droppedByTimestamps", () => {
  it("finds gaps of one and three frames, with the interval that says so", () => {
    const taken = count(40).filter((k) => k !== 7 && !(k >= 20 && k <= 22));
    const found = unwrap(droppedByTimestamps(taken.map((k) => 0.2 + k / 240)));
    expect(gapsOf(found)).toEqual([
      [6, 1],
      [18, 3],
    ]);
    expect(found[1]).toMatchObject({ ratio: expect.closeTo(4, 6), step: expect.closeTo(4 / 240, 9) });
  });

  it("is not misled by ticks of 1 ms at 240 frames/s, where single intervals are 4 or 5 ms", () => {
    const stamps = (taken: readonly number[]) => taken.map((k) => Math.round((1000 * k) / 240) / 1000);
    expect(unwrap(droppedByTimestamps(stamps(count(200))))).toEqual([]);
    const found = unwrap(droppedByTimestamps(stamps(count(200).filter((k) => k !== 90 && k !== 141))));
    expect(gapsOf(found)).toEqual([
      [89, 1],
      [139, 1],
    ]);
  });

  it("refuses a clip of variable rate and one too short, and throws on stamps out of order", () => {
    const variable = count(60).map((k) => (2700 * k + ((37 * k * k) % 1700)) / 90000);
    expect(droppedByTimestamps(variable)).toMatchObject({ ok: false, code: "irregular" });
    expect(droppedByTimestamps([0, 1, 2])).toMatchObject({ ok: false, code: "too-few-frames" });
    expect(() => droppedByTimestamps([0, 1, 1, 2, 3])).toThrow(/from frame 1 to 2/);
  });
});

describe("droppedByMotion", () => {
  it("finds the frames a steadily accelerating point says are missing", () => {
    const found = unwrap(droppedByMotion(path(count(40).filter((k) => k !== 12 && k !== 25 && k !== 26))));
    expect(gapsOf(found)).toEqual([
      [11, 1],
      [23, 2],
    ]);
  });

  it("finds none in 60 whole clips, with marks left out here and there", () => {
    for (let seed = 0; seed < 60; seed++) {
      const chance = createChance(seed);
      const marks = path(count(60), 4 + 10 * chance.uniform(), 0.3 * chance.uniform()).filter(
        () => chance.uniform() > 0.2,
      );
      const found = droppedByMotion(marks);
      expect(found.ok ? found.value : []).toEqual([]);
    }
  });

  it("does not call the start of a push a gap", () => {
    // At rest, then 30 px a frame at once.
    const jump = count(20).map((k) => ({ frame: k, x: k < 10 ? 0 : 30 * (k - 9), y: 0, u: 0.3 }));
    expect(unwrap(droppedByMotion(jump))).toEqual([]);
  });

  it("refuses a point too slow for its marks, with the step that would do", () => {
    const refused = droppedByMotion(path(count(30), 1, 0, 0.3));
    expect(refused).toMatchObject({
      ok: false,
      code: "too-slow",
      numbers: { neededPx: expect.closeTo(3.79, 2) },
    });
    expect(droppedByMotion(path(count(30), 4.5, 0, 0.3)).ok).toBe(true);
    expect(droppedByMotion(path(count(5)))).toMatchObject({ ok: false, code: "too-few-marks" });
    expect(() => droppedByMotion([...path(count(8))].reverse())).toThrow(/out of order/);
  });
});

describe("repeatKind", () => {
  const repeats = [6, 14, 23];

  it("says inserted when the point goes on by one step across a repeat", () => {
    const taken = count(30).map((k) => k - repeats.filter((r) => r <= k).length);
    expect(unwrap(repeatKind(path(taken), repeats))).toMatchObject({ kind: "inserted" });
  });

  it("says stale when it goes on by two, within the advance's own u", () => {
    const taken = count(30).map((k) => (repeats.includes(k) ? k - 1 : k));
    const { kind, advance } = unwrap(repeatKind(path(taken), repeats));
    expect(kind).toBe("stale");
    expect(Math.abs(advance.value - 2)).toBeLessThan(3 * advance.u);
    expect(advance.u).toBeLessThan(0.05);
  });

  it("declines when every second frame repeats, or the marks are too rough", () => {
    const doubled = count(30).map((k) => Math.floor(k / 2));
    expect(
      repeatKind(
        path(doubled),
        count(30).filter((k) => k % 2 === 1),
      ),
    ).toMatchObject({ code: "too-few-marks" });
    const taken = count(30).map((k) => (repeats.includes(k) ? k - 1 : k));
    expect(repeatKind(path(taken, 1, 0, 1.5), repeats)).toMatchObject({ ok: false, code: "undecided" });
  });
});
