import { describe, expect, it } from "vitest";
import { inputOf, inputSays, withinRanges } from "../../../../src/renderer/ledger/fields/input-says.ts";
import { readEntry } from "../../../../src/renderer/ledger/fields/measured-entry.ts";
import { entryUnit } from "../../../../src/shared/inputs/entry-unit.ts";
import type { Input } from "../../../../src/shared/inputs/input.ts";

const CONDUCTANCE = inputOf("launcher.valve.conductance", "compressed-air-ram");
const unit = entryUnit("conductance", "SI");
const held = (value: string, u: string, input: Input | null) =>
  withinRanges(readEntry({ value, u }, unit, "positive"), input, "SI", (one) => [one.value, one.u]);
const typed = (value: string, u = "1") => held(value, u, CONDUCTANCE);

describe("withinRanges", () => {
  it("lets a usual number into the document without a word", () => {
    const entry = typed("15.66");
    if (entry.kind !== "stands") throw new Error(entry.kind);
    expect(entry.stands.value).toBeCloseTo(15.66e-8, 20);
    expect(entry.odd).toBeUndefined();
  });

  it("keeps out what cannot be, names the range and the likely slip in the unit typed", () => {
    expect(typed("15660")).toEqual({
      kind: "wrong",
      cause:
        "15660 dm³/(s·bar) is not possible here (0.0001 to 2000 dm³/(s·bar)). " +
        "Was it typed in cm³/(s·bar) or L/(min·bar)? Then it is 15.66 dm³/(s·bar) or 261 dm³/(s·bar).",
      remedy: "Type what was measured.",
    });
  });

  it("lets what is odd stand, and asks", () => {
    expect(typed("700")).toMatchObject({
      kind: "stands",
      odd: expect.stringMatching(
        /^700 dm³\/\(s·bar\) is far outside what is usual \(0\.05 to 500 .* Leave it if it is right\.$/,
      ),
    });
  });

  it("says nothing of an entry that is not finished, or of a field without a row in the table", () => {
    expect(typed("")).toMatchObject({ kind: "unfinished" });
    expect(held("15660", "1", null).kind).toBe("stands");
  });
});

describe("inputOf", () => {
  it("throws RangeError for a path that the table does not have", () => {
    expect(() => inputOf("launcher.bore", "compressed-air-ram")).toThrow(
      new RangeError('inputOf: no input "launcher.bore" of compressed-air-ram'),
    );
  });
});

describe("inputSays", () => {
  it("judges the uncertainty too", () => {
    expect(inputSays(CONDUCTANCE, 1e-7, 1e-5, "SI")).toMatchObject({
      state: "odd",
      text: expect.stringContaining("An uncertainty of 1000 dm³/(s·bar)"),
    });
    expect(inputSays(CONDUCTANCE, 1e-7, 1e-8, "SI")).toBeNull();
  });
});
