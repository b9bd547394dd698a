import { describe, expect, it } from "vitest";
import { guessesOf, type LauncherRows, launcherInputs } from "../../../src/shared/inputs/launcher-rows.ts";
import { measuredFields } from "../../../src/shared/session/measured-fields.ts";

const ROWS = {
  springN: {
    kind: "force",
    label: "Spring",
    words: "the spring's force",
    about: "N, force of the spring",
    value: "above-zero",
    possible: [0, 10],
    plausible: [1, 5],
    guess: { value: 3, u: 1 },
  },
  sealN: {
    kind: "force",
    label: "Seal",
    words: "the seal's friction",
    about: "N, friction of the seal",
    value: "zero-or-more",
    possible: [0, 20],
    plausible: [0, 2],
    source: "a bench, this spring",
  },
} as const satisfies LauncherRows;
const measured = (value: number) => ({ value, u: 1 });

describe("the rows of a launcher's inputs", () => {
  it("become inputs at their keys, common practice their source where none is stated", () => {
    const told = launcherInputs("elastic-line", ROWS, true);
    expect(told.map(({ path, of, tunable }) => [path, of, tunable])).toEqual([
      ["launcher.springN", "elastic-line", true],
      ["launcher.sealN", "elastic-line", true],
    ]);
    expect(told.map(({ source }) => source)).toEqual(["common practice, no source", "a bench, this spring"]);
    expect(told[1]).toMatchObject({ label: "Seal", form: "measured", heading: "model", plausible: [0, 2] });
  });

  it("begin with their guesses, fresh ones each time, and leave out what has none", () => {
    const first = guessesOf(ROWS);
    expect(first).toEqual({ springN: { value: 3, u: 1 } });
    expect(guessesOf(ROWS).springN).not.toBe(first.springN);
  });

  it("become fields of the schema that take what their row says, optional without a guess", () => {
    const { springN, sealN } = measuredFields(ROWS);
    const takes = [0, 1, -1].map((value) =>
      [springN, sealN].map((field) => field.safeParse(measured(value)).success),
    );
    expect(takes).toEqual([
      [false, true],
      [true, true],
      [false, false],
    ]);
    expect([springN, sealN].map((field) => field.safeParse(undefined).success)).toEqual([false, true]);
    expect(springN.description).toBe("N, force of the spring");
  });
});
