import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { errorKey } from "../../../src/shared/measure/common-error.ts";
import type { InputState } from "../../../src/shared/measure/input-state.ts";

const session = exampleSession(1, "lens");
const axis = { forward: 0, aft: 1, alongM: 0.1, aboveM: 0 };

it("takes a lens's error to be its camera's: shots of one share it, those of two do not", () => {
  const keyOf = (id: string, cameraId: string) => {
    const { lens } = session.cameras[0]!;
    const shot = { ...session.shots[0]!, id, cameraId };
    const stated: InputState = {
      shot,
      lens,
      stretch: 1,
      clockMoves: [],
      readoutS: 0,
      axis,
      beyond: { scale: 0, plane: 0, rollRad: 0, bend: 0 },
      driftMPerS: [0, 0],
      followedPx: {},
    };
    return errorKey(stated, { ...stated, lens: { ...lens!, focalPx: lens!.focalPx + 2 } });
  };
  expect(keyOf("first", "one")).toContain("focalPx");
  expect(keyOf("second", "one")).toBe(keyOf("first", "one"));
  expect(keyOf("third", "two")).not.toBe(keyOf("first", "one"));
});
