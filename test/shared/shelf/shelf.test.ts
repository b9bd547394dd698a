import { describe, expect, it } from "vitest";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { type Session, SessionSchema, type Tuning } from "../../../src/shared/session/schema.ts";
import { shelvedAs } from "../../../src/shared/session/shelved.ts";
import { kept, offered, putAway } from "../../../src/shared/shelf/change-shelf.ts";
import { differences, shelfStanding } from "../../../src/shared/shelf/compare-things.ts";
import { thingInSession } from "../../../src/shared/shelf/session-thing.ts";
import {
  EMPTY_SHELF,
  newest,
  type Shelf,
  ShelfSchema,
  type ShelfThing,
} from "../../../src/shared/shelf/shelf-schema.ts";
import { giving, takenBefore, taking, takingAgain } from "../../../src/shared/shelf/take-from-shelf.ts";
import { fullSession, LAUNCHER_KINDS } from "../../stress/full-sessions.ts";
import { sampleSession } from "../session/sample-session.ts";

const AT = "2026-05-02T10:00:00.000Z";
const KINDS = ["airframe", "launcher", "camera"] as const;
const TUNING: Tuning = {
  parameters: ["slidingN", "valve.conductance"],
  shotIds: ["shot-1"],
  heldOutShotIds: [],
  tuned: {
    values: [
      { value: 18, u: 1.5 },
      { value: 1.51e-7, u: 2e-9 },
    ],
    correlation: [
      [1, 0.4],
      [0.4, 1],
    ],
    undetermined: [],
    scatter: 0.004,
    shotCount: 1,
  },
  use: true,
};

const tunedSession = (): Session => ({
  ...sampleSession(),
  tunings: [{ ...TUNING, launcherId: "launcher-1" }],
});
const thing = (session: Session, of: (typeof KINDS)[number], id: string) =>
  thingInSession(session, of, id, "An afternoon") as ShelfThing;
const keptAs = (shelf: Shelf, one: ShelfThing, shelfId: string | null, newId: string) =>
  kept(shelf, { thing: one, shelfId, outing: "An afternoon", at: AT, newId });
const edited = (session: Session, edits: readonly Edit[]) => edits.reduce(applyEdit, session);
const idOf = (session: Session, of: (typeof KINDS)[number]) =>
  ({ airframe: session.airframes, launcher: session.launchers, camera: session.cameras })[of][0]!.id;

describe("taking what another outing kept", () => {
  const from = tunedSession();
  const fresh: Session = {
    ...freshSession("Next week"),
    shots: [freshShot("shot-9", "ninth", "nine.mp4"), freshShot("shot-10", "tenth", "ten.mp4")],
  };

  it.each(LAUNCHER_KINDS)("gives every field of each, with the shots named: a session of a %s", (kind) => {
    const source = fullSession(kind);
    for (const of of KINDS) {
      const own = thing(source, of, idOf(source, of));
      const { shelf } = keptAs(EMPTY_SHELF, own, null, `${of}-a`);
      expect(ShelfSchema.parse(JSON.parse(JSON.stringify(shelf)))).toEqual(shelf);
      const taken = taking(fresh, shelf.entries[0]!, ["shot-10"]);
      const session = SessionSchema.parse(edited(fresh, taken.edits));
      const there = thing(session, of, taken.id);
      expect(differences(own, there, "SI")).toEqual([]);
      expect(session.shots[1]).toMatchObject({ [`${of}Id`]: taken.id });
      expect(shelvedAs(session, of, taken.id)).toEqual({ of, id: taken.id, shelfId: `${of}-a`, edition: 1 });
    }
  });

  it("brings a launcher's tuned values, where they come from and the settings they were tested at", () => {
    const { shelf } = keptAs(EMPTY_SHELF, thing(from, "launcher", "launcher-1"), null, "launcher-a");
    const session = edited(fresh, taking(fresh, shelf.entries[0]!, ["shot-9"]).edits);
    const [tuning] = session.tunings!;
    expect(tuning).toMatchObject({ tuned: TUNING.tuned, use: true, shotIds: [] });
    expect(tuning!.from).toEqual({
      outing: "An afternoon",
      shots: ["first shot"],
      tested: [
        { of: "pressure", low: 4.1e5, high: 4.1e5 },
        { of: "mass", low: 0.61, high: 0.61 },
        { of: "stroke", low: 0.9, high: 0.9 },
      ],
    });
    // Predictions there are as wide beyond the tested settings as they were at home.
    expect(launchInputs(session, session.shots[0]!).tested).toEqual(
      launchInputs(from, from.shots[0]!).tested,
    );
    // Kept again from there, they still say where they were tuned.
    const again = thingInSession(session, "launcher", tuning!.launcherId, "Next week");
    expect(again).toMatchObject({ tuning: { from: { outing: "An afternoon" } } });
  });

  it.each(KINDS)("finds the copy that a session took before, and gives it to a further shot: %s", (of) => {
    const { shelf } = keptAs(EMPTY_SHELF, thing(from, of, idOf(from, of)), null, `${of}-a`);
    const [entry] = shelf.entries as [Shelf["entries"][number]];
    expect(takenBefore(fresh, entry)).toBeNull();
    const taken = taking(fresh, entry, ["shot-9"]);
    const session = edited(fresh, taken.edits);
    expect(takenBefore(session, entry)).toBe(taken.id);
    const both = edited(session, giving(entry, taken.id, ["shot-10"]));
    expect(both.shots.map((shot) => shot[`${of}Id`])).toEqual([taken.id, taken.id]);
  });

  it("drops tuned values once the launcher that they came with is stated otherwise", () => {
    const { shelf } = keptAs(EMPTY_SHELF, thing(from, "launcher", "launcher-1"), null, "launcher-a");
    const session = edited(fresh, taking(fresh, shelf.entries[0]!, []).edits);
    const { id, ...launcher } = session.launchers[0]!;
    const changed = { ...launcher, slidingN: { value: 30, u: 2 } } as typeof launcher;
    const now = applyEdit(session, { kind: "set-launcher", launcherId: id, launcher: changed });
    expect(now.tunings![0]).toMatchObject({ tuned: null });
    expect(now.tunings![0]).not.toHaveProperty("from");
  });

  it("gives a shot that has no rate the camera's, and leaves one that has", () => {
    const { shelf } = keptAs(EMPTY_SHELF, thing(from, "camera", "side"), null, "camera-a");
    const timed = {
      ...fresh.shots[1]!,
      clock: { kind: "capture-rate", captureRateHz: { value: 240, u: 1 } },
    };
    const session = { ...fresh, shots: [fresh.shots[0]!, timed] } as Session;
    const now = edited(session, taking(session, shelf.entries[0]!, ["shot-9", "shot-10"]).edits);
    expect(now.shots.map(({ clock }) => clock?.kind === "capture-rate" && clock.captureRateHz.value)).toEqual(
      [960, 240],
    );
  });
});

describe("what changed since", () => {
  const source = tunedSession();

  it("says here and on the shelf apart, each field with its ± and unit, and takes the shelf's in place", () => {
    const first = keptAs(EMPTY_SHELF, thing(source, "launcher", "launcher-1"), null, "launcher-a");
    const note = { of: "launcher", id: "launcher-1", ...first.place } as const;
    const session = applyEdit(source, { kind: "note-shelved", shelved: note });
    expect(shelfStanding(session, first.shelf, "launcher", "launcher-1", "An afternoon")).toMatchObject({
      kind: "known",
      here: [],
      there: [],
    });
    // Another outing measured the bore and knows the latch; here the friction is stated otherwise.
    const { id: _id, ...launcher } = source.launchers[0]!;
    const elsewhere = { ...launcher, boreM: { value: 0.0504, u: 0.00005 }, hold: "latch" } as typeof launcher;
    const second = keptAs(
      first.shelf,
      { of: "launcher", launcher: elsewhere, tuning: null },
      "launcher-a",
      "-",
    );
    expect(second.place).toEqual({ shelfId: "launcher-a", edition: 2 });
    const friction = { ...launcher, slidingN: { value: 21, u: 3 } } as typeof launcher;
    const now = applyEdit(session, { kind: "set-launcher", launcherId: "launcher-1", launcher: friction });
    const standing = shelfStanding(now, second.shelf, "launcher", "launcher-1", "An afternoon");
    if (standing.kind !== "known") throw new Error("it is on the shelf");
    expect(standing.here).toContainEqual({
      words: "sliding friction",
      before: "15 ± 4 N",
      after: "21 ± 3 N",
    });
    expect(standing.there).toContainEqual({
      words: "bore",
      before: "50.00 ± 0.10 mm",
      after: "50.40 ± 0.05 mm",
    });
    expect(standing.there).toContainEqual({
      words: "what holds the airframe",
      before: "not stated",
      after: "latch",
    });
    expect(standing.there).toContainEqual({
      words: "tuned sliding friction",
      before: "18.0 ± 1.5 N",
      after: "not stated",
    });
    const taken = edited(now, takingAgain(now, second.shelf.entries[0]!, "launcher-1").edits);
    expect(shelfStanding(taken, second.shelf, "launcher", "launcher-1", "An afternoon")).toMatchObject({
      here: [],
      there: [],
    });
    expect(taken.launchers).toHaveLength(1);
  });

  it("takes an airframe's and a camera's in place: points by name, marks stay, what the shelf lacks goes", () => {
    const full = fullSession("compressed-air-ram");
    const marks = full.shots.map((shot) => shot.marks.length);
    for (const of of ["airframe", "camera"] as const) {
      const id = idOf(full, of);
      const bare = thing(sampleSession(), of, idOf(sampleSession(), of));
      const { shelf, place } = keptAs(EMPTY_SHELF, bare, null, `${of}-a`);
      const noted = applyEdit(full, { kind: "note-shelved", shelved: { of, id, ...place } });
      const now = SessionSchema.parse(
        JSON.parse(JSON.stringify(edited(noted, takingAgain(noted, shelf.entries[0]!, id).edits))),
      );
      expect(differences(bare, thing(now, of, id), "SI")).toEqual([]);
      expect(now.shots.map((shot) => shot.marks.length)).toEqual(marks);
    }
  });

  it("says of a thing from another machine's shelf that it is not this one's", () => {
    const shelved = { of: "camera", id: "side", shelfId: "camera-x", edition: 3 } as const;
    const session = applyEdit(source, { kind: "note-shelved", shelved });
    expect(shelfStanding(session, EMPTY_SHELF, "camera", "side", "")).toEqual({ kind: "elsewhere" });
    expect(shelfStanding(source, EMPTY_SHELF, "camera", "side", "")).toEqual({ kind: "new" });
  });
});

describe("the shelf", () => {
  const source = sampleSession();

  it("adds no edition for what it has already, and offers nothing that was put away until it is back", () => {
    const camera = thing(source, "camera", "side");
    const one = keptAs(EMPTY_SHELF, camera, null, "camera-a");
    expect(keptAs(one.shelf, camera, "camera-a", "-").shelf.entries[0]!.editions).toHaveLength(1);
    const away = putAway(one.shelf, "camera-a", AT);
    expect([offered(away, "camera"), offered(one.shelf, "airframe")]).toEqual([[], []]);
    expect(offered(putAway(away, "camera-a", null))).toHaveLength(1);
    const back = keptAs(
      away,
      { ...camera, camera: { ...newCamera(), exposureS: 0.001 } } as ShelfThing,
      "camera-a",
      "-",
    );
    expect([back.place.edition, newest(back.shelf.entries[0]!).edition, offered(back.shelf).length]).toEqual([
      2, 2, 1,
    ]);
  });

  it("refuses two entries of one id, editions out of order, and a balance between points it has not", () => {
    const { shelf } = keptAs(EMPTY_SHELF, thing(source, "airframe", "airframe-1"), null, "airframe-a");
    const [entry] = shelf.entries as [Shelf["entries"][number]];
    const [edition] = entry.editions as [(typeof entry.editions)[number]];
    const isShelf = (entries: unknown) => ShelfSchema.safeParse({ ...shelf, entries }).success;
    expect(isShelf([entry])).toBe(true);
    expect(isShelf([entry, entry])).toBe(false);
    expect(isShelf([{ ...entry, editions: [edition, edition] }])).toBe(false);
    expect(isShelf([{ ...entry, editions: [{ ...edition, thing: { ...edition.thing, points: [] } }] }])).toBe(
      false,
    );
  });

  function newCamera() {
    const { id: _id, ...camera } = source.cameras[0]!;
    return camera;
  }
});

it("a session forgets the place of what it no longer has, and refuses notes of what is not there", () => {
  const shelved = { of: "camera", id: "side", shelfId: "camera-x", edition: 1 } as const;
  const session = applyEdit(sampleSession(), { kind: "note-shelved", shelved });
  expect(applyEdit(session, { kind: "remove-camera", cameraId: "side" })).not.toHaveProperty("shelved");
  expect(SessionSchema.safeParse({ ...session, shelved: [{ ...shelved, id: "gone" }] }).success).toBe(false);
  expect(SessionSchema.safeParse({ ...session, shelved: [shelved, shelved] }).success).toBe(false);
});
