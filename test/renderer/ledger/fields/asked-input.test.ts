import { describe, expect, it } from "vitest";
import { askedInput } from "../../../../src/renderer/ledger/fields/asked-input.ts";
import { withinRanges } from "../../../../src/renderer/ledger/fields/input-says.ts";

describe("what a field asks for", () => {
  it("is said by the row at its path, of the session's launcher", () => {
    expect(askedInput({ path: "launcher.slidingN" }, "rocket-boost")).toMatchObject({
      label: "Friction along it",
      kind: "force",
      rule: "not-negative",
    });
    expect(askedInput({ path: "launcher.slidingN" }, "compressed-air-ram").label).toBe("Sliding");
    expect(askedInput({ path: "launcher.boreM" }, "compressed-air-ram").rule).toBe("positive");
    expect(askedInput({ path: "shots[].conditions.headwindMPerS" }, null).rule).toBe("any");
  });

  it("may be called otherwise where the field stands", () => {
    const asked = askedInput({ path: "shots[].scale.rodM", label: "Length between the ends" }, null);
    expect([asked.label, asked.kind]).toEqual(["Length between the ends", "length"]);
  });

  it("is what the field says for a number that no document holds, above zero unless it says otherwise", () => {
    const asked = { label: "Period", kind: "duration" } as const;
    expect(askedInput(asked, null)).toEqual({ ...asked, rule: "positive", input: null });
    expect(askedInput({ ...asked, rule: "any" }, null).rule).toBe("any");
  });

  it("is never a path that the table does not have", () => {
    expect(() => askedInput({ path: "launcher.boreM" }, "elastic-line")).toThrow(RangeError);
  });

  it("refuses a critical pressure ratio of 1 by its row", () => {
    const { input } = askedInput({ path: "launcher.valve.criticalRatio" }, "compressed-air-ram");
    const entry = { kind: "stands", stands: 1 } as const;
    expect(withinRanges(entry, input, "SI", (ratio) => [ratio, 0.1])).toMatchObject({
      kind: "wrong",
      cause: expect.stringContaining("0 to 0.9999"),
    });
  });
});
