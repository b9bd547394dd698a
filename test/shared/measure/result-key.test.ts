import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { resultKey, trackKey } from "../../../src/shared/measure/result-key.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { trueMovement, variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

const session = exampleSession(1);
const [shot] = session.shots as [Shot];

function keyIn(changed: Session, id = shot.id): string {
  const one = changed.shots.find((other) => other.id === id)!;
  return resultKey(filmedShot(changed, one), launchInputs(changed, one), null);
}

const withShot = (patch: Partial<Shot>): Session => ({ ...session, shots: [{ ...shot, ...patch }] });

it("is the same for equal documents, whichever way they came about", () => {
  expect(keyIn(JSON.parse(JSON.stringify(session)))).toBe(keyIn(session));
});

it.each<[string, Session]>([
  ["a mark", withShot({ marks: shot.marks.slice(1) })],
  ["the pressure", withShot({ conditions: { ...shot.conditions, gaugePressurePa: { value: 1e5, u: 1 } } })],
  [
    "the airframe",
    oneOfEach({ ...session, airframe: { ...firstOf(session).airframe, massKg: { value: 2, u: 0.1 } } }),
  ],
  ["the units that notices are worded in", { ...session, units: "field" }],
  ["the place of the shot", { ...session, shots: [{ ...shot, id: "before" }, shot] }],
])("changes with %s", (_, changed) => {
  expect(keyIn(changed)).not.toBe(keyIn(session));
});

it("does not change with the shot's name and notes, which no result carries", () => {
  const renamed = withShot({ name: "Quince", notes: "Medlar" });
  expect(keyIn(renamed)).toBe(keyIn(session));
  const facts = variantFacts("plain");
  const { frames } = trueMovement("pan", 0);
  const moves = { ...facts, camera: { asked: frames.map(({ frame }) => frame), frames } };
  expect(measureShot(renamed, shot.id, moves).notices.map(({ code }) => code)).toContain(
    ofShot("camera-moves"),
  );
  for (const seen of [facts, moves]) {
    expect(JSON.stringify(measureShot(renamed, shot.id, seen))).not.toMatch(/Quince|Medlar/);
  }
});

it("does not change with another shot's marks, but with a lamp in another clip of the camera", () => {
  const both = (patch: Partial<Shot>): Session => ({
    ...session,
    shots: [shot, { ...shot, id: "other", name: "other", ...patch }],
  });
  const plain = keyIn(both({}));
  expect(keyIn(both({ marks: [] }))).toBe(plain);
  const lamp = { frequencyHz: { value: 50, u: 0.1 }, frames: [1, 9, 17] };
  expect(keyIn(both({ lamp } as unknown as Partial<Shot>))).not.toBe(plain);
});

it("of a track changes with a mark, and not with what the launcher was tuned to", () => {
  const keys = (one: Session) => [keyIn(one), trackKey(filmedShot(one, one.shots[0]!), null)];
  const [whole, track] = keys(session);
  const [marked, markedTrack] = keys(withShot({ marks: shot.marks.slice(1) }));
  expect([marked === whole, markedTrack === track]).toEqual([false, false]);
  const launcherId = shot.launcherId!;
  const tunings = [
    { launcherId, use: true, shotIds: [], heldOutShotIds: [] } as unknown as NonNullable<
      Session["tunings"]
    >[number],
  ];
  const [tuned, tunedTrack] = keys({ ...session, tunings });
  expect([tuned === whole, tunedTrack === track]).toEqual([false, true]);
});
