import { describe, expect, it } from "vitest";
import { table, wrapped } from "../../../src/main/cli/table.ts";

describe("table", () => {
  it("lines columns up by characters, not bytes, with nothing after the last word", () => {
    expect(
      table([
        ["", "measured"],
        ["speed", "14.21 ± 0.06 m/s", "x"],
        ["θ", "−3°", "yy"],
      ]),
    ).toBe(
      ["         measured", "  speed  14.21 ± 0.06 m/s  x", "  θ      −3°               yy", ""].join("\n"),
    );
  });

  it("gives nothing for no rows", () => {
    expect(table([])).toBe("");
  });
});

describe("wrapped", () => {
  it("breaks between words at the width, indent counted, and keeps every word", () => {
    expect(wrapped("one two three four", "> ", 9)).toBe("> one two\n> three\n> four\n");
    expect(wrapped("averyveryverylongword b", "", 5)).toBe("averyveryverylongword\nb\n");
  });
});
