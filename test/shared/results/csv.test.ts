import { expect, it } from "vitest";
import { csvText } from "../../../src/shared/results/csv.ts";

it("csvText ends every row with CRLF and leaves null empty", () => {
  expect(
    csvText(
      ["a", "b"],
      [
        ["x", 1.5],
        [null, -2e-7],
      ],
    ),
  ).toBe("a,b\r\nx,1.5\r\n,-2e-7\r\n");
});

it("csvText quotes commas, quotes and line ends, doubling quotes (RFC 4180, 2.5 to 2.7)", () => {
  expect(csvText(["t"], [['say "hi"'], ["a,b"], ["two\nlines"]])).toBe(
    't\r\n"say ""hi"""\r\n"a,b"\r\n"two\nlines"\r\n',
  );
});

it("csvText disarms text that a spreadsheet would run, and leaves negative numbers alone", () => {
  for (const text of ["=1+1", "+1", "-1", "@sum", "\tx"]) {
    expect(csvText(["t"], [[text]])).toBe(`t\r\n'${text}\r\n`);
  }
  expect(csvText(["t"], [[-1]])).toBe("t\r\n-1\r\n");
  expect(csvText(["t"], [['=HYPERLINK("a,b")']])).toBe(`t\r\n"'=HYPERLINK(""a,b"")"\r\n`);
});

it("csvText throws RangeError at a number that is not finite and at a ragged row", () => {
  expect(() => csvText(["t"], [[Number.NaN]])).toThrow(/finite numbers; got NaN/);
  expect(() => csvText(["t", "s"], [[1]])).toThrow(/need 2 cells in a row; got 1/);
});
