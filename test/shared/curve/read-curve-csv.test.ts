import { describe, expect, it } from "vitest";
import { columnHead, perSecond, secondsIn } from "../../../src/shared/curve/curve-units.ts";
import { MOST_CURVE_SAMPLES, readCurveCsv } from "../../../src/shared/curve/read-curve-csv.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";

function faultOf(text: string, columns = {}) {
  try {
    readCurveCsv(text, columns);
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
  throw new Error("nothing was wrong");
}

describe("a header", () => {
  it.each([
    ["time (s)", "time", "s"],
    ["angle [deg]", "angle", "deg"],
    ["Force (N)", "Force", "N"],
    ["pressure / bar", "pressure", "bar"],
    ["force_N", "force", "N"],
    ["time_ms", "time", "ms"],
    ["u_force", "u_force", ""],
    ["thrust", "thrust", ""],
    ["  speed ( m/s ) ", "speed", "m/s"],
  ])("%s is “%s” in “%s”", (text, name, unit) => {
    expect(columnHead(text)).toEqual({ name, unit });
  });
});

it.each([
  ["N", "N/s", "N/s²"],
  ["m/s", "m/s²", "m/s³"],
  ["m/s²", "m/s³", "m/s⁴"],
  ["", "1/s", "1/s²"],
])("the rates of “%s” are in %s and %s", (unit, one, two) => {
  expect([perSecond(unit, 1), perSecond(unit, 2)]).toEqual([one, two]);
});

it.each([
  ["ms", 1e-3],
  ["µs", 1e-6],
  ["min", 60],
  ["", 1],
  ["N", null],
])("a time in “%s” is %s s", (unit, seconds) => {
  expect(secondsIn(unit)).toBe(seconds);
});

describe("a log", () => {
  it("is read with its units, time in s", () => {
    const log = readCurveCsv("time (ms),force (N)\r\n0,1.5\r\n2,-2e-1\r\n");
    expect(log).toEqual({
      samples: [
        { time: 0, value: 1.5 },
        { time: 0.002, value: -0.2 },
      ],
      name: "force",
      unit: "N",
      columns: { time: "time", value: "force", uncertainty: null },
      timeUnitStated: true,
      others: 0,
      empty: 0,
      repeated: 0,
    });
  });

  it("may lack a header, have decimal commas, comments, quotes, blank lines and a byte order mark", () => {
    expect(readCurveCsv("0,1\n1,2\n").samples).toEqual([
      { time: 0, value: 1 },
      { time: 1, value: 2 },
    ]);
    const log = readCurveCsv('\uFEFF# bench, run 3\n"time; run 3 (s)";force\n0,5;1,25\n\n1,5;2 # last\n');
    expect(log.samples).toEqual([
      { time: 0.5, value: 1.25 },
      { time: 1.5, value: 2 },
    ]);
    expect(log.columns.time).toBe("time; run 3");
    expect(readCurveCsv("t\tp\n0\t1\n1\t3\n").samples[1]).toEqual({ time: 1, value: 3 });
  });

  it("takes the column called time, and an uncertainty that is called so", () => {
    const log = readCurveCsv("n,pressure (bar),time (s),u (bar)\n1,5.0,0,0.1\n2,4.0,1,0.2\n", {
      value: "pressure",
    });
    expect(log.samples).toEqual([
      { time: 0, value: 5, u: 0.1 },
      { time: 1, value: 4, u: 0.2 },
    ]);
    expect([log.others, log.columns]).toEqual([1, { time: "time", value: "pressure", uncertainty: "u" }]);
  });

  it("gives the columns that are asked for, by name, by name with unit, or by number", () => {
    const text = "time (s),force (N),pressure (bar)\n0,1,7\n1,2,8\n";
    for (const value of ["pressure", "Pressure (bar)", "3"]) {
      expect(readCurveCsv(text, { value }).samples[1]).toEqual({ time: 1, value: 8 });
    }
    expect(faultOf(text, { time: "force", value: "time" }).code).toBe("curve-unit");
  });

  it("has a gap where a value is missing, and says how many, and how many times come twice", () => {
    const log = readCurveCsv("t,v\n0,1\n1,\n2,NaN\n3,4\n3,6\n");
    expect(log.samples.map(({ time }) => time)).toEqual([0, 3, 3]);
    expect([log.empty, log.repeated]).toEqual([2, 1]);
  });
});

describe("a fault names line and column", () => {
  it.each([
    ["", "curve-empty", /holds no lines/],
    ["1\n2\n", "curve-columns", /one column/],
    ["time (s),force (N)\n0,1\n1,abc\n", "curve-number", /^Line 3 has “abc” in column 2 \(“force”\)/],
    ["# x\n0,1\n\n1,2\nx,3\n", "curve-number", /^Line 5 has “x” in column 1/],
    ["t,v\n0,1\n1,1e999\n", "curve-number", /^Line 3 has “1e999” in column 2/],
    ["t,v\n0,1\n2,1\n1,1\n", "curve-order", /^Line 4 is at 1 in column 1 \(“t”\), before line 3/],
    ["t,v,u\n0,1,0.1\n1,1,0\n", "curve-uncertainty", /^Line 3 has “0” for its uncertainty in column 3/],
    ["time (V),v\n0,1\n", "curve-unit", /“time” has “V” for its unit/],
    ["t (s),v (N),u (kN)\n0,1,1\n", "curve-unit", /in kN and the value in N/],
    ["t;v\n0;1,5,3\n", "curve-number", /^Line 2 has “1,5,3”/],
  ])("%j: %s", (text, code, cause) => {
    const fault = faultOf(text);
    expect(fault.code).toBe(code);
    expect(fault.cause).toMatch(cause);
    expect(fault.remedy).toMatch(/\.$/);
  });

  it("or the columns there are, where one is asked for that is not", () => {
    const fault = faultOf("time (s),force (N)\n0,1\n", { value: "thrust" });
    expect([fault.code, fault.cause]).toEqual(["curve-column", "The file has no column “thrust”."]);
    expect(fault.remedy).toBe("Its columns are 1 “time”, 2 “force”.");
    expect(faultOf("time (s),force (N)\n0,1\n", { value: "5" }).code).toBe("curve-column");
    expect(faultOf("time (s),force (N)\n0,1\n", { value: "time", time: "1" }).code).toBe("curve-columns");
  });

  it("and a file of too many lines", () => {
    const text = `t,v\n${"0,1\n".repeat(MOST_CURVE_SAMPLES + 1)}`;
    expect(faultOf(text)).toEqual({
      code: "curve-long",
      cause: "The file has 200001 lines.",
      remedy: "Thin it to 200000 or fewer.",
    });
  });
});
