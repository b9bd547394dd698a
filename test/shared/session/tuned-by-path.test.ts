import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { openSession } from "../../../src/shared/session/open-session.ts";
import { tunedByPath } from "../../../src/shared/session/tuned-by-path.ts";
import { firstOf } from "../../support/one-of-each.ts";

const value = { value: 1, u: 0.1 };
const tuningOf = (...paths: readonly string[]) => ({
  tuning: { tuned: { others: paths.map((path) => ({ path, value, moved: false })) } },
});

it("names by its path what a launcher with rocket motors called by words", () => {
  const words = tuningOf(
    "motor 2 “left, upper”, thrust turned up",
    "motor 1 “right”, nozzle ahead of the centre of gravity",
    "drag area",
    "motors.0.delayS",
    "slidingN",
  );
  expect(tunedByPath(words)).toEqual(
    tuningOf("motors.1.tiltUpRad", "motors.0.aheadM", "dragAreaM2", "motors.0.delayS", "slidingN"),
  );
});

it("leaves a document as it is that was never tuned, or that is none", () => {
  for (const document of [
    {},
    { tuning: null },
    { tuning: { tuned: null } },
    { tuning: { tuned: { others: 3 } } },
  ]) {
    expect(tunedByPath(document)).toBe(document);
  }
  expect(tunedByPath({ tuning: { tuned: { others: [null, 7] } } })).toEqual({
    tuning: { tuned: { others: [null, 7] } },
  });
});

it("is done to a document of version 1 on its way", () => {
  const kept = join(import.meta.dirname, "kept", "version-2-rocket-boost.json");
  const { clips: _clips, ...session } = JSON.parse(readFileSync(kept, "utf8"));
  const [parameter] = session.tuning.parameters;
  const tuned = {
    values: [value],
    others: [{ path: "motor 1 “a”, thrust turned right", value, moved: true }],
    correlation: [
      [1, 0],
      [0, 1],
    ],
    undetermined: [],
    scatter: 0,
    shotCount: 1,
  };
  const tuning = { ...session.tuning, parameters: [parameter], tuned };
  const opened = openSession({ ...session, version: 1, tuning });
  if (!opened.ok) throw new Error(opened.fault.cause);
  expect(firstOf(opened.session).tuning?.tuned?.others?.map(({ path }) => path)).toEqual([
    "motors.0.tiltRightRad",
  ]);
});
