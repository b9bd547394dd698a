import { describe, expect, it } from "vitest";
import { ELASTIC_TABLE } from "../../../../src/renderer/ledger/model/elastic-table.ts";
import { OPENING_TABLE } from "../../../../src/renderer/ledger/model/opening-table.ts";
import { pointTableText, readPointTable } from "../../../../src/renderer/ledger/model/point-table.ts";
import { freshElastic } from "../../../../src/shared/launchers/elastic/fresh-elastic.ts";
import { predictShot } from "../../../../src/shared/predict/predict-shot.ts";
import { freshSession } from "../../../../src/shared/session/fresh.ts";
import { SessionSchema } from "../../../../src/shared/session/schema.ts";
import { calmShot } from "../../../shared/predict/elastic-line.ts";
import { firstOf, oneOfEach } from "../../../support/one-of-each.ts";

const points = (text: string) => {
  const read = readPointTable(ELASTIC_TABLE, text);
  return read.kind === "points" ? read.points : read;
};

describe("readPointTable", () => {
  it("reads spaces, tabs, semicolons and commas between the two numbers, and decimal commas", () => {
    const table = [
      [0, 0],
      [0.5, 14.5],
      [1, 22],
    ];
    expect(points("0 0\n0.5 14.5\n1 22")).toEqual(table);
    expect(points("0\t0\r\n0.5\t14.5\r\n1\t22\r\n")).toEqual(table);
    expect(points("0;0\n0,5; 14,5\n1 ;22")).toEqual(table);
    expect(points("0,0\n0.5,14.5\n1,22")).toEqual(table);
    expect(points("0, 0\n0.5, 14.5\n1, 22")).toEqual(table);
  });
  it("passes over empty lines and what follows a #", () => {
    expect(points("# orange line\n\n0 0 # at rest\n  2 30\n")).toEqual([
      [0, 0],
      [2, 30],
    ]);
  });
  it("is empty when nothing is typed", () => {
    expect(readPointTable(ELASTIC_TABLE, " \n# nothing yet").kind).toBe("empty");
  });
  it.each([
    ["0 0\n1 ten", "Line 2, “1 ten”, is not two numbers.", /such as 0\.5 14/],
    ["0 0\n1 2 3", "Line 2, “1 2 3”, is not two numbers.", /such as/],
    ["0 0\n\n2 20\n1 30", "Line 4: the extension is 1.", /above 2 m, the one before it/],
    ["0.1 0\n1 20", "Line 1: the extension is 0.1.", /0: the table begins with the line at rest/],
    ["0 0\n1 -20", "Line 2: the force is -20.", /0 or more: a line only pulls/],
    ["0 0", "There is only one point.", /two points or more/],
  ])("says of %j which line is wrong and what would do", (text, cause, remedy) => {
    expect(readPointTable(ELASTIC_TABLE, text)).toEqual({
      kind: "wrong",
      cause,
      remedy: expect.stringMatching(remedy),
    });
  });
  it.each([
    [
      "0 0\n0.5 0.2\n0.5 0.7\n1 1",
      "Line 3: the share of the opening time is 0.5.",
      /above 0\.5, the one before it/,
    ],
    ["0 0\n0.5 1.2\n1 1", "Line 2: the share of the full area is 1.2.", /from 0 to 1/],
    ["0 0\n40 1", "Line 2: the share of the opening time is 40.", /1 or less/],
    ["0 0\n0.9 1", "Line 2: the share of the opening time is 0.9.", /1 at the last point/],
    ["0 0\n1 0.9", "Line 2: the share of the full area is 0.9.", /1 at the last point/],
    ["0.1 0\n1 1", "Line 1: the share of the opening time is 0.1.", /begins with the opening/],
    ["0 0", "There is only one point.", /two points or more/],
    ["0 0\nhalf 1", "Line 2, “half 1”, is not two numbers.", /such as 0\.5 0\.2/],
  ])("says of the opening %j which line is wrong and what would do", (text, cause, remedy) => {
    const read = readPointTable(OPENING_TABLE, text);
    expect(read).toEqual({ kind: "wrong", cause, remedy: expect.stringMatching(remedy) });
  });
  it("takes an opening that begins at once, and one that closes again on its way", () => {
    const read = readPointTable(OPENING_TABLE, "0 0,1\n0,4 0,9\n0,6 0,7\n1 1");
    expect(read).toMatchObject({ kind: "points", points: { length: 4 } });
  });
  it("refuses more points than the document takes", () => {
    const many = Array.from({ length: 501 }, (_, i) => `${i} ${i}`).join("\n");
    expect(readPointTable(ELASTIC_TABLE, many)).toMatchObject({
      kind: "wrong",
      cause: "The table has 501 points.",
    });
  });
  it("reads back what pointTableText wrote", () => {
    const { loading } = freshElastic();
    expect(points(pointTableText(loading))).toEqual(loading);
    expect(pointTableText(null)).toBe("");
  });
});

describe("freshElastic", () => {
  it("is a launcher the session takes, and pulls a light airframe with a speed seen to be a guess", () => {
    const fresh = freshSession("bench");
    const massKg = { value: 0.7, u: 0.01 };
    const session = oneOfEach({
      ...fresh,
      airframe: { ...firstOf(fresh).airframe, massKg },
      launcher: freshElastic(),
    });
    expect(SessionSchema.parse(session)).toEqual(session);
    const { releaseSpeed } = predictShot(session, calmShot()).prediction!.quantities;
    expect(releaseSpeed!.u / releaseSpeed!.value).toBeGreaterThan(0.2);
  });
});
