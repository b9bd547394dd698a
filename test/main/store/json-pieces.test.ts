import { describe, expect, it } from "vitest";
import { jsonPieces } from "../../../src/main/store/json-pieces.ts";
import { sampleSession } from "../../shared/session/sample-session.ts";
import { bigSession } from "../../support/big-session.ts";
import fc from "../../support/drawn-inputs.ts";

describe("jsonPieces", () => {
  it.each([0, 2])("gives the text of JSON.stringify with space %d for any JSON", (space) => {
    const values = fc.jsonValue({ maxDepth: 7 });
    fc.assert(
      fc.property(values, (value) => {
        expect([...jsonPieces(value, space)].join("")).toBe(JSON.stringify(value, null, space));
      }),
      { numRuns: 500 },
    );
    for (const value of [sampleSession(), { a: undefined, b: [undefined, "x\ny"] }, [], {}, null, "\n"]) {
      expect([...jsonPieces(value, space)].join("")).toBe(JSON.stringify(value, null, space));
    }
  });

  it("keeps each piece short, whatever the document's length", () => {
    const lengths = [...jsonPieces(bigSession(2e6), 2)].map(({ length }) => length);
    expect(lengths.length).toBeGreaterThan(15);
    expect(Math.max(...lengths)).toBeLessThan(110_000);
  });
});
