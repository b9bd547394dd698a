import { describe, expect, it } from "vitest";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { copiedAirframe, nameOfCopy, unusedId } from "../../../src/shared/session/fresh.ts";
import { launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { type ListedAirframe, type Session, SessionSchema } from "../../../src/shared/session/schema.ts";
import { mark, sampleLauncher, sampleSession } from "./sample-session.ts";

const one = sampleSession();
const copy = copiedAirframe(one, one.airframes[0] as ListedAirframe);
const ADD: Edit = { kind: "add-airframe", ...copy };
const second: Edit = { kind: "choose-airframe", shotId: "shot-1", airframeId: copy.airframe.id };

function edited(session: Session, ...edits: readonly Edit[]): Session {
  const last = edits.reduce(applyEdit, session);
  expect(SessionSchema.safeParse(last).error?.issues).toBeUndefined();
  return last;
}

describe("a second airframe made like the first", () => {
  it("has another name and id, points of its own by the same names, and balances between these", () => {
    const { airframes, points } = edited(one, ADD);
    expect(airframes.map(({ id, name }) => [id, name])).toEqual([
      ["airframe-1", "invented glider"],
      ["airframe-2", "invented glider 2"],
    ]);
    const own = points.filter(({ airframeId }) => airframeId === "airframe-2");
    expect(own.map(({ name }) => name)).toEqual(["nose", "tail"]);
    const balance = airframes[1]!.centreOfGravity!;
    expect([balance.fromPointId, balance.towardPointId]).toEqual(own.map(({ id }) => id));
    expect(airframes[1]!.massKg).toEqual(airframes[0]!.massKg);
  });

  it("is thrown by a shot that names it, with its own mass, balance and points", () => {
    const heavier: Edit = {
      kind: "update-airframe",
      airframeId: "airframe-2",
      patch: { massKg: { value: 0.9, u: 0.01 } },
    };
    const both = edited(one, ADD, heavier, second);
    const massOf = (at: number) => launchInputs(both, both.shots[at]!).airframe.massKg?.value;
    expect([massOf(0), massOf(1)]).toEqual([0.9, 0.61]);
    expect(filmedShot(both, both.shots[0]!).points.map(({ airframeId }) => airframeId)).toEqual([
      "airframe-2",
      "airframe-2",
    ]);
    expect(filmedShot(both, both.shots[1]!).points.map(({ id }) => id)).toEqual(["nose", "tail"]);
  });
});

describe("a shot that is given another airframe", () => {
  it("keeps every mark, in its place, on the points of the same names", () => {
    const both = edited(one, ADD, second);
    const names = new Map(both.points.map(({ id, name }) => [id, name]));
    const placed = (session: Session) =>
      session.shots[0]!.marks.map(({ pointId, frame, x, y }) =>
        [names.get(pointId), frame, x, y].join(" "),
      ).sort();
    expect(placed(both)).toEqual(placed(one));
    expect(both.shots[1]).toBe(one.shots[1]);
    expect(
      edited(both, { kind: "choose-airframe", shotId: "shot-1", airframeId: "airframe-1" }).shots,
    ).toEqual(one.shots);
  });

  it("brings a point of a name that the other airframe lacks along", () => {
    const marked = edited(
      one,
      {
        kind: "add-point",
        point: { id: "fin", name: "fin", on: "airframe", airframeId: "airframe-1", body: null },
      },
      { kind: "set-mark", shotId: "shot-1", mark: mark("fin", 5, 1, 2) },
      ADD,
      second,
    );
    const fins = marked.points.filter(({ name }) => name === "fin");
    expect(fins.map(({ airframeId }) => airframeId)).toEqual(["airframe-1", "airframe-2"]);
    expect(marked.shots[0]!.marks.filter(({ pointId }) => pointId === fins[1]!.id)).toHaveLength(1);
  });

  it("keeps marks of posts, which are on no airframe", () => {
    const post: Edit = {
      kind: "add-point",
      point: { id: "post", name: "nose", on: "post", airframeId: null, body: null },
    };
    const both = edited(
      one,
      post,
      { kind: "set-mark", shotId: "shot-1", mark: mark("post", 3, 7, 7) },
      ADD,
      second,
    );
    expect(both.shots[0]!.marks.filter(({ pointId }) => pointId === "post")).toHaveLength(1);
  });

  it("gives the marks of a post that is said to be on an airframe to each shot's own", () => {
    const both = edited(
      one,
      ADD,
      second,
      { kind: "add-point", point: { id: "post", name: "post", on: "post", airframeId: null, body: null } },
      { kind: "set-mark", shotId: "shot-1", mark: mark("post", 3, 7, 7) },
      { kind: "set-mark", shotId: "shot-2", mark: mark("post", 3, 8, 8) },
      { kind: "update-point", pointId: "post", patch: { on: "airframe", airframeId: "airframe-1" } },
    );
    const ids = both.shots.map(({ marks }) => marks.find(({ x }) => x === 7 || x === 8)!.pointId);
    expect(ids.map((id) => both.points.find((point) => point.id === id)?.airframeId)).toEqual([
      "airframe-2",
      "airframe-1",
    ]);
  });
});

describe("an airframe, launcher or camera that goes", () => {
  it("leaves its shots and their marks to another airframe", () => {
    const both = edited(one, ADD, second);
    const left = edited(both, { kind: "remove-airframe", airframeId: "airframe-2", insteadId: "airframe-1" });
    expect(left).toEqual(one);
  });

  it("leaves shots without a launcher, and takes its tuning along", () => {
    const tuning = {
      parameters: ["slidingN"],
      shotIds: ["shot-1"],
      heldOutShotIds: [],
      tuned: null,
      use: false,
    };
    const tuned = edited(one, { kind: "set-tuning", launcherId: "launcher-1", tuning });
    const left = edited(tuned, { kind: "remove-launcher", launcherId: "launcher-1" });
    expect([left.launchers, left.tunings, left.shots.map(({ launcherId }) => launcherId)]).toEqual([
      [],
      undefined,
      [null, null],
    ]);
  });

  it("leaves shots without a camera, with their clocks", () => {
    const left = edited(one, { kind: "remove-camera", cameraId: "side" });
    expect([left.cameras, left.shots[0]!.cameraId, left.shots[0]!.clock]).toEqual([
      [],
      null,
      one.shots[0]!.clock,
    ]);
  });
});

describe("a second launcher", () => {
  const added: Edit = {
    kind: "add-launcher",
    launcher: { ...sampleLauncher, id: "launcher-2", name: "other" },
    shotIds: ["shot-2"],
  };

  it("is that of the shots that name it, with a tuning of its own", () => {
    const tuning = {
      parameters: ["slidingN"],
      shotIds: ["shot-2"],
      heldOutShotIds: [],
      tuned: null,
      use: true,
    };
    const both = edited(one, added, { kind: "set-tuning", launcherId: "launcher-2", tuning });
    const taken = both.shots
      .map((shot) => launchInputs(both, shot))
      .map((one) => [one.launcher?.name, one.tuning?.use]);
    expect(taken).toEqual([
      ["invented ram", undefined],
      ["other", true],
    ]);
  });

  it("takes a shot that goes over to it out of the first one's tuning, values and all", () => {
    const tuned = {
      values: [{ value: 1, u: 1 }],
      correlation: [[1]],
      undetermined: [],
      scatter: 0,
      shotCount: 2,
    };
    const tuning = {
      parameters: ["slidingN"],
      shotIds: ["shot-1", "shot-2"],
      heldOutShotIds: [],
      tuned,
      use: true,
    };
    const first = edited(one, { kind: "set-tuning", launcherId: "launcher-1", tuning });
    expect(edited(first, { ...added, shotIds: [] }).tunings).toEqual([
      { ...tuning, launcherId: "launcher-1" },
    ]);
    expect(edited(first, added).tunings).toEqual([
      { ...tuning, launcherId: "launcher-1", shotIds: ["shot-1"], tuned: null },
    ]);
  });
});

describe("names and ids of copies", () => {
  it("count on, and are taken by nobody", () => {
    const named = (...names: readonly string[]) => names.map((name) => ({ id: name, name }));
    expect(nameOfCopy("Kestrel", named("Kestrel"), "airframe")).toBe("Kestrel 2");
    expect(nameOfCopy("Kestrel 2", named("Kestrel", "Kestrel 2"), "airframe")).toBe("Kestrel 3");
    expect(nameOfCopy("", named(""), "airframe")).toBe("airframe 2");
    expect(nameOfCopy("x".repeat(80), [], "airframe").length).toBeLessThanOrEqual(80);
    expect(unusedId("shot", named("shot-1", "shot-3"))).toBe("shot-4");
  });
});

describe("rules between the parts", () => {
  const messages = (session: Session) =>
    (SessionSchema.safeParse(session).error?.issues ?? []).map(
      ({ path, message }) => `${path.join(".")}: ${message}`,
    );

  it("refuse what names something that is not there, and a point of no airframe or of one it is not on", () => {
    const [shot, other] = one.shots;
    const given = (part: object) =>
      messages({ ...one, shots: [{ ...shot!, marks: [], ...part }, other!] } as Session);
    expect(given({ airframeId: "gone" })).toEqual(['shots.0.airframeId: no airframe "gone"']);
    expect(given({ launcherId: "gone" })).toEqual(['shots.0.launcherId: no launcher "gone"']);
    const [nose, tail] = one.points;
    expect(messages({ ...one, points: [{ ...nose!, airframeId: null }, tail!] })).toContain(
      "points.0.airframeId: it names no airframe",
    );
    expect(messages({ ...one, points: [nose!, { ...tail!, on: "rod" }] })).toEqual([
      'points.1.airframeId: it names an airframe, but the point is on "rod"',
    ]);
    expect(
      messages({
        ...one,
        tunings: [
          { launcherId: "gone", parameters: [], shotIds: [], heldOutShotIds: [], tuned: null, use: false },
        ],
      }),
    ).toEqual(['tunings.0.launcherId: no launcher "gone"']);
  });

  it("refuse a mark on a point of another airframe than the shot's", () => {
    const both = applyEdit(one, ADD);
    const astray = { ...both, shots: both.shots.map((shot) => ({ ...shot, airframeId: "airframe-2" })) };
    expect(messages(astray)[0]).toBe(
      'shots.0.marks.0: point "nose" is on "airframe-1", and the shot\'s airframe is "airframe-2"',
    );
    expect(messages({ ...one, airframes: [] }).length).toBeGreaterThan(0);
  });
});
