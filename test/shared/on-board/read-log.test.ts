import { describe, expect, it } from "vitest";
import { readLog } from "../../../src/shared/on-board/read-log.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof FaultError) return error.fault.code;
    throw error;
  }
  return "none";
};

describe("readLog", () => {
  it.each([
    ["time (s),height (m)\n0,1\n0.5,3", "height", "m", [1, 3]],
    ["time (ms);altitude [ft]\n0;1\n500;3", "height", "ft", [0.3048, 0.9144]],
    ["t (s)\tacceleration (g)\n0\t1\n0.5\t2", "acceleration", "g", [9.80665, 19.6133]],
    ["time_s,accel (m/s^2)\n0,1\n0.5,2", "acceleration", "m/s²", [1, 2]],
  ] as const)("finds what %j is of, in which unit, and gives it in SI", (text, of, unit, values) => {
    const log = readLog(text, null, null);
    expect([log.of, log.unit, log.unitStated]).toEqual([of, unit, true]);
    expect(log.samples.map(({ timeS }) => timeS)).toEqual([0, 0.5]);
    log.samples.forEach(({ value }, i) => {
      expect(value).toBeCloseTo(values[i]!, 12);
    });
  });

  it("takes the column that is called height before others, or the one asked for", () => {
    const text = "time (s),battery (V),temperature (C),height (m),axial (g)\n0,4,20,7,1\n1,4,20,8,2";
    expect(readLog(text, null, null).samples.map(({ value }) => value)).toEqual([7, 8]);
    expect(readLog(text, "axial", null).of).toBe("acceleration");
  });

  it("takes a stated unit before the header's, and says when the file states none", () => {
    const bare = readLog("time,height\n0,10\n1,20", null, "ft");
    expect([bare.unitStated, bare.samples[1]!.value]).toEqual([false, 6.096]);
    expect(readLog("time,height (m)\n0,10\n1,20", null, "cm").samples[1]!.value).toBeCloseTo(0.2, 12);
  });

  it("refuses a column without a unit, and one of another unit, naming the units it knows", () => {
    expect(codeOf(() => readLog("time,height\n0,10\n1,20", null, null))).toBe("log-unit");
    expect(codeOf(() => readLog("time,pressure (hPa)\n0,10\n1,20", null, null))).toBe("log-unit");
    expect(codeOf(() => readLog("time,height (m)\n0,1", "speed", null))).toBe("curve-column");
    expect(codeOf(() => readLog("time,height (m)\n1,1\n0,2", null, null))).toBe("curve-order");
  });

  it("takes the last of several lines at one instant", () => {
    const { samples } = readLog("time (s),height (m)\n0,1\n0,2\n1,3", null, null);
    expect(samples).toEqual([
      { timeS: 0, value: 2 },
      { timeS: 1, value: 3 },
    ]);
  });
});
