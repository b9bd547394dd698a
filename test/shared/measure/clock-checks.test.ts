import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { clockChecksOf } from "../../../src/shared/measure/clock-checks.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";

it("reads nothing of a shot without lamp and drop but its marks: a day's shots are asked each time one is measured", () => {
  const session = exampleSession(1);
  const [first] = session.shots;
  const { lamp: _lamp, ...shot } = first!;
  const marks = shot.marks.filter(({ pointId }) => pointId === "nose");
  const read: PropertyKey[] = [];
  const watched = new Proxy(
    { ...shot, marks },
    {
      get(target, key) {
        read.push(key);
        return Reflect.get(target, key);
      },
    },
  );
  expect(clockChecksOf({ ...filmedShot(session, first!), shot: watched })).toEqual({
    checks: [],
    notices: [],
  });
  expect(read.filter((key) => key !== "marks" && key !== "lamp")).toEqual([]);
});
