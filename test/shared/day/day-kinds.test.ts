import { describe, expect, it } from "vitest";
import type { DayShot } from "../../../src/shared/day/day-columns.ts";
import { againstOf, kindsOf, toldApart } from "../../../src/shared/day/day-kinds.ts";
import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Launcher, Session } from "../../../src/shared/session/schema.ts";
import { ramSession, ramShot } from "../next-shot/ram-session.ts";
import { LINE } from "../predict/elastic-line.ts";

const base = ramSession({}, { name: "Dart" });
const [airframe, launcher] = [base.airframes[0]!, base.launchers[0]!];
const session: Session = {
  ...base,
  airframes: [airframe, { ...airframe, id: "airframe-2", name: "Kite", massKg: { value: 0.9, u: 0.01 } }],
  launchers: [launcher, { ...(LINE as Launcher), id: "line", name: "Garden line" }],
};

const measured = { measurement: {} } as unknown as ShotResult;
function one(
  number: number,
  bar: number | null,
  part: Partial<DayShot["shot"]> = {},
  result = measured,
): DayShot {
  const gauge = bar === null ? null : { value: bar * 1e5, u: 5000 };
  const shot = { ...ramShot(gauge, `shot-${number}`), ...part };
  return { shot, number, launch: launchInputs(session, shot), clipMs: null, result };
}

describe("kindsOf", () => {
  it("keeps airframes and launchers apart, each by what differs, in the session's order", () => {
    const shots = [one(3, 6), one(1, 8), one(2, 5, { airframeId: "airframe-2" })];
    const { kinds, left } = kindsOf(shots, "pressure");
    expect(kinds.map(({ label }) => label)).toEqual(["Dart", "Kite"]);
    expect(kinds[0]!.shots.map(({ at }) => at.value)).toEqual([8e5, 6e5]);
    expect(left).toEqual([]);
    const both = kindsOf([...shots, one(4, 5, { launcherId: null })], "pressure");
    expect(both.kinds.map(({ label }) => label)).toEqual([
      `Dart, ${launcher.name}`,
      `Kite, ${launcher.name}`,
      "Dart, no launcher stated",
    ]);
  });

  it("names the shots it leaves out, and why", () => {
    const shots = [one(1, 8), one(2, null), one(3, 5, {}, null as unknown as ShotResult)];
    expect(kindsOf(shots, "pressure").left).toEqual([
      { name: "shot-2", why: "no tank pressure" },
      { name: "shot-3", why: "not measured" },
    ]);
    expect(kindsOf([one(1, 8)], "draw").left).toEqual([{ name: "shot-1", why: "no draw on its launcher" }]);
  });

  it("reaches past every shot and its bars, and never to nothing", () => {
    const [low, high] = kindsOf([one(1, 8), one(2, 4)], "pressure").range!;
    expect(low).toBeLessThan(3.9e5);
    expect(high).toBeGreaterThan(8.1e5);
    const [least, most] = kindsOf([one(1, 8), one(2, 0.01)], "pressure").range!;
    expect(least).toBeGreaterThan(0);
    expect(most).toBeGreaterThan(8e5);
    expect(kindsOf([], "pressure").range).toBeNull();
  });

  it("offers only inputs that a measured shot has a value of", () => {
    expect(againstOf([one(1, 8)])).toEqual(["pressure", "mass"]);
    const drawn = one(2, null, { launcherId: "line" });
    expect(againstOf([drawn])).toEqual(["mass", "draw"]);
    expect(kindsOf([drawn], "draw").kinds[0]!.shots[0]!.at).toEqual(LINE.drawM);
    expect(againstOf([one(3, 5, {}, null as unknown as ShotResult)])).toEqual([]);
  });

  it("numbers kinds of the same name", () => {
    expect(toldApart(["Dart", "Kite", "Dart"])).toEqual(["Dart", "Kite", "Dart (2)"]);
  });
});
