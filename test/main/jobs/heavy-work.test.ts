import { expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { createHeavyWork } from "../../../src/main/jobs/heavy-work.ts";
import { createRemembered } from "../../../src/main/jobs/remembered.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { pushTrack } from "../../../src/shared/measure/push-track.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Session } from "../../../src/shared/session/schema.ts";

const session = exampleSession(1);
const shotId = session.shots[0]!.id;
const copy = (one: Session): Session => structuredClone(one); // as it comes to a thread
const task = (one: Session, kind: "measure" | "track") => {
  const asked = kind === "track" ? { kind, shotId, facts: null } : { kind, shotId, facts: null, draws: null };
  return { kind: "task", task: asked, session: copy(one) } as const;
};

it("gives a shot that is as it was from memory, with its marks changed what the functions themselves give", () => {
  const work = createHeavyWork(() => {});
  const [first, track] = [work(task(session, "measure")), work(task(session, "track"))];
  expect(first).toEqual(measureShot(session, shotId, null));
  expect(track).toEqual(pushTrack(filmedShot(session, session.shots[0]!), null));
  expect(work(task(session, "measure"))).toBe(first);
  expect(work(task(session, "track"))).toBe(track);

  const other = { ...session, shots: session.shots.map((one) => ({ ...one, marks: one.marks.slice(1) })) };
  expect(work(task(other, "measure"))).toEqual(measureShot(other, shotId, null));
  expect(work(task(other, "track"))).toEqual(pushTrack(filmedShot(other, other.shots[0]!), null));
  expect(work(task(session, "measure"))).toBe(first);
});

it("forgets what was asked for longest ago, and remembers nothing that failed", () => {
  const remembered = createRemembered<string>(2);
  const computed: string[] = [];
  const ask = (key: string) =>
    remembered(key, () => {
      computed.push(key);
      return key;
    });
  for (const key of ["a", "b", "a", "c", "a", "b"]) expect(ask(key)).toBe(key);
  expect(computed).toEqual(["a", "b", "c", "b"]);
  const fail = () => {
    throw new Error("not this time");
  };
  expect(() => remembered("d", fail)).toThrow("not this time");
  expect(remembered("d", () => "d")).toBe("d");
});
