import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { pushTrack } from "../../../src/shared/measure/push-track.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { shotsField } from "../../support/shots-field.ts";

const { session } = shotsField(3, [3e5, 4e5]);
const [first, second] = session.shots.map((shot) => pushTrack(filmedShot(session, shot), null).track!);

describe("pushTrack", () => {
  it("gives every frame's travel along the push with the noise it scatters with", () => {
    const { points, startS, releaseS, measurement } = first!;
    expect(points.length).toBe(new Set(session.shots[0]!.marks.map(({ frame }) => frame)).size);
    const rest = points.filter(({ timeS }) => timeS < startS - 0.005);
    const squares = rest.map(({ travelM, u }) => (travelM / u) ** 2);
    const mean = squares.reduce((sum, one) => sum + one, 0) / squares.length;
    expect(rest.length).toBeGreaterThan(20);
    expect(mean).toBeGreaterThan(0.5);
    expect(mean).toBeLessThan(2);
    // half the frames' marks would make the u of one mark; two marks a frame make it
    // smaller by the root of two
    expect(points[0]!.u).toBeCloseTo(
      (0.3 * measurement.scale.value * measurement.noiseRatio) / Math.SQRT2,
      5,
    );
    const last = points.at(-1)!;
    expect(last.timeS).toBeGreaterThan(releaseS);
    expect(last.speedMPerS).toBeGreaterThan(8);
  });

  it("says what one u of each shared input does: the rod stretches travel in proportion, the rate stretches time", () => {
    const { points, common } = first!;
    const rodU = session.shots[0]!.scale!.rodM;
    const rod = common.find(({ key }) => key.includes("shot.scale.rodM"))!;
    points.forEach(({ travelM }, i) => {
      const by = rod.travelM[i]! - rod.travelM[0]!;
      expect(Math.abs(by - (rodU.u / rodU.value) * (travelM - points[0]!.travelM))).toBeLessThan(2e-6);
      expect(rod.timeS[i]).toBe(0);
    });
    const rate = common.find(({ source }) => source === "clock")!;
    points.forEach(({ timeS }, i) => {
      expect(Math.abs(rate.timeS[i]! / timeS || rate.timeS[1]! / points[1]!.timeS)).toBeCloseTo(0.2 / 480, 6);
    });
  });

  it("names errors alike that two shots share, the rod's length and the rate, and apart those they do not, the picks", () => {
    const keys = (track: typeof first) => new Set(track!.common.map(({ key }) => key));
    const shared = [...keys(first)].filter((key) => keys(second).has(key));
    const sources = (wanted: string) => shared.filter((key) => key.includes(wanted)).length;
    expect(sources("scale.rodM")).toBe(1);
    expect(sources("clock of camera")).toBe(1);
    expect(sources("axis.alongM")).toBe(1);
    expect(sources("scale.a")).toBe(0);
    expect(sources("plumb")).toBe(sources("hangRad"));
    expect(first!.common.filter(({ key }) => key.includes("scale.a")).length).toBe(2);
  });

  it("moves no place by a clock's error, whatever frame of a shaken clip the rod was picked in", () => {
    const shaken = exampleSession(1, "shake");
    const [example] = shaken.shots;
    const clockOf = (aFrame: number | undefined) => {
      const shot = { ...example!, scale: { ...example!.scale!, ...(aFrame !== undefined && { aFrame }) } };
      const { common } = pushTrack(filmedShot({ ...shaken, shots: [shot] }, shot), null).track!;
      expect(common.map(({ key }) => key)).toContainEqual(
        expect.stringContaining(`shot.scale.a: [${example!.scale!.a[0]},`),
      );
      return common.find(({ source }) => source === "clock")!;
    };
    for (const aFrame of [undefined, example!.marks.at(-1)!.frame]) {
      const { travelM, timeS } = clockOf(aFrame);
      expect(Math.max(...travelM.map(Math.abs))).toBeLessThan(1e-9);
      expect(timeS.at(-1)!).toBeGreaterThan(1e-5);
    }
  });

  it("has no track of a shot that cannot be measured, and says why", () => {
    const shot = { ...session.shots[0]!, marks: [] };
    const { track, notices } = pushTrack(filmedShot(session, shot), null);
    expect(track).toBeNull();
    expect(notices.some(({ level }) => level === "refusal")).toBe(true);
  });
});
