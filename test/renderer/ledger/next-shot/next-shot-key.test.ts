import { expect, it } from "vitest";
import { exampleSession } from "../../../../src/main/example/example-session.ts";
import { nextShotKey } from "../../../../src/renderer/ledger/next-shot/next-shot-key.ts";
import { askOf, nextShot } from "../../../../src/shared/next-shot/next-shot.ts";
import type { Session } from "../../../../src/shared/session/schema.ts";
import { firstOf } from "../../../support/one-of-each.ts";

const session = exampleSession(1);
const ask = { ...askOf(undefined, firstOf(session).launcher), speedMPerS: { value: 14, u: 0 } };
const keyOf = (one: Session) => nextShotKey(one, one.shots[0]!, ask, []);
const reportOf = (one: Session) => nextShot(one, one.shots[0]!, ask, []);

it("is the same while only marks change, which the report does not see", () => {
  const [shot] = session.shots;
  expect(keyOf({ ...session, shots: [{ ...shot!, marks: [] }] })).toBe(keyOf(session));
});

it("is another when the airframe balances on a point that is not its own: nothing is predicted then", () => {
  const { fromPointId } = firstOf(session).airframe.centreOfGravity!;
  const points = session.points.map((point) =>
    point.id === fromPointId ? { ...point, on: "rod" as const, airframeId: null } : point,
  );
  const changed = { ...session, points };
  expect([reportOf(session).reach === null, reportOf(changed).reach === null]).toEqual([false, true]);
  expect(keyOf(changed)).not.toBe(keyOf(session));
});
