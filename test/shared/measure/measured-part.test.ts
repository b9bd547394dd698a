import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { measuredPart } from "../../../src/shared/measure/measured-part.ts";
import type { Session } from "../../../src/shared/session/schema.ts";

/** The example's shot, and others of its camera: one as it is, one with a drop, one with a lamp. */
function day(): Session {
  const example = exampleSession(1);
  const shot = { ...example.shots[0]!, clock: { ...example.shots[0]!.clock!, useChecks: true } as never };
  const fall = Array.from({ length: 40 }, (_, i) => ({
    pointId: "ball",
    frame: 8 * i,
    x: 600.5,
    y: 100 + 0.0052 * (8 * i) ** 2,
    u: 0.3,
    by: "hand" as const,
  }));
  const lamp = { intervalS: { value: 0.05, u: 1e-5 }, frames: [10, 58, 106, 154, 202] };
  return {
    ...example,
    points: [...example.points, { id: "ball", name: "ball", on: "dropped", airframeId: null, body: null }],
    shots: [
      shot,
      { ...shot, id: "plain" },
      { ...shot, id: "drop", marks: [...shot.marks, ...fall] },
      { ...shot, id: "lit", lamp },
    ],
  };
}

it("leaves a shot's measurement as it is, with the clock checks of its camera's other shots", () => {
  const session = day();
  const id = session.shots[0]!.id;
  const part = measuredPart(session, id);
  expect(part.shots.map(({ marks }) => marks.length > 0)).toEqual([true, false, true, true]);
  const whole = measureShot(session, id, null);
  expect(measureShot(part, id, null)).toEqual(whole);
  // The checks are there and count: without the other shots the result is another.
  const alone = measureShot({ ...session, shots: session.shots.slice(0, 1) }, id, null);
  expect(alone).not.toEqual(whole);
});
