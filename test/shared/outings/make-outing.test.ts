import { beforeAll, describe, expect, it } from "vitest";
import { shotsElsewhere } from "../../../src/shared/day/shots-elsewhere.ts";
import { overlayOfShots } from "../../../src/shared/figures/overlay-of-shots.ts";
import { type PushTrack, pushTrack } from "../../../src/shared/measure/push-track.ts";
import { repeatGroups, shotSpeeds } from "../../../src/shared/next-shot/repeats.ts";
import { countedAlready, isSessionOf } from "../../../src/shared/outings/counted-already.ts";
import { makeOuting } from "../../../src/shared/outings/make-outing.ts";
import { outingSays } from "../../../src/shared/outings/outing-words.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { outingShots, shotCounts } from "../../../src/shared/session/outings.ts";
import {
  type Outing,
  type RamLauncher,
  type Session,
  SessionSchema,
  type Shot,
} from "../../../src/shared/session/schema.ts";
import { rangesTuned } from "../../../src/shared/session/tested-range.ts";
import { outingShotsToTune, tuneFault } from "../../../src/shared/tune/tune-faults.ts";
import { type SessionTuning, tuneSession, tuningInUse } from "../../../src/shared/tune/tune-session.ts";
import { shotsField } from "../../support/shots-field.ts";

/* Two outings of one ram: rod and camera are others each time, with errors of their own. */
const thinned = (session: Session): Session => ({
  ...session,
  shots: session.shots.map((shot) => ({ ...shot, marks: shot.marks.filter(({ frame }) => frame % 3 === 0) })),
});
const today = thinned(shotsField(4, [3.5e5]).session);
const [launcher] = today.launchers as [Session["launchers"][number]];
const drawn = thinned(shotsField(9, [2.5e5, 3.5e5]).session);
const earlier: Session = {
  ...drawn,
  title: "An afternoon",
  launchers: [launcher],
  airframes: today.airframes,
};

const FACTS = {
  id: "outing-1",
  path: "../afternoon",
  title: "An afternoon",
  fingerprint: `sha256-${"0".repeat(64)}`,
  readAt: "2026-05-02T10:00:00.000Z",
};
const REQUEST = { launcherId: "launcher-1", parameters: ["valve.conductance"], heldOutShotIds: [] };
const BOTH = ["shot-1", "outing-1:shot-1"];

const trackOf = (session: Session, shot: Shot) =>
  pushTrack(filmedShot(session, shot), null).track as PushTrack;
const tracksOf = (session: Session) =>
  new Map(session.shots.map((shot) => [shot.id, trackOf(session, shot)] as const));
const tuned = (session: Session, shotIds: readonly string[], tracks: ReadonlyMap<string, PushTrack>) => {
  const outcome = tuneSession(session, { ...REQUEST, shotIds }, tracks);
  if (!outcome.ok) throw new Error(outcome.fault.cause);
  return outcome.value;
};

let own: ReadonlyMap<string, PushTrack>;
let there: ReadonlyMap<string, PushTrack>;
let outing: Outing;
let session: Session;
let tuning: SessionTuning;

beforeAll(() => {
  own = tracksOf(today);
  there = tracksOf(earlier);
  const noticed = new Map([["shot-2", [{ level: "warning", cause: "Something." } as const]]]);
  outing = makeOuting(today, earlier, { tracks: there, noticed, lacking: new Map() }, FACTS, null);
  session = applyEdit(today, { kind: "set-outing", outing });
  tuning = tuned(session, BOTH, own);
});

describe("the copy of another outing", () => {
  it("fits the session's form, is small, and knows launcher and airframe by name but no camera", () => {
    expect(SessionSchema.parse(JSON.parse(JSON.stringify(session)))).toEqual(session);
    expect(JSON.stringify(outing).length / outing.shots.length).toBeLessThan(80_000);
    const here = [outing.airframes, outing.launchers, outing.cameras].map(([one]) => one?.here);
    expect(here).toEqual(["airframe-1", "launcher-1", null]);
    expect(outingShots(session).map(({ id, name }) => [id, name])).toEqual([
      ["outing-1:shot-1", "Shot 1 of An afternoon"],
      ["outing-1:shot-2", "Shot 2 of An afternoon"],
    ]);
  });

  it("tunes to what the shots give in one session with two cameras and two rods", () => {
    const [camera] = earlier.cameras as [Session["cameras"][number]];
    const moved = { ...(earlier.shots[0] as Shot), id: "shot-b", cameraId: "camera-b" };
    const joined: Session = {
      ...today,
      cameras: [...today.cameras, { ...camera, id: "camera-b" }],
      shots: [...today.shots, moved],
    };
    const both = new Map([...own, ["shot-b", trackOf(joined, moved)]]);
    const one = tuned(joined, ["shot-1", "shot-b"], both);
    // How much of each input's u the shots leave tells whose errors they share.
    for (const [i, { name, left, tuned: value }] of one.tuning.inputs.entries()) {
      const apart = tuning.tuning.inputs[i]!;
      expect([apart.name, Math.abs(apart.left - left) < 1e-5], name).toEqual([name, true]);
      expect(Math.abs(apart.tuned.value - value.value), name).toBeLessThanOrEqual(1e-4 * value.u);
    }
    expect(Math.min(...one.tuning.inputs.map(({ left }) => left))).toBeLessThan(0.9);
    expect(tuning.tuned.shotCount).toBe(2);
  });

  it("says which errors are taken to be shared, and what was noticed there", () => {
    const said = outingSays(outing, session).join("\n");
    expect(said).toMatch(/^2 measured shots\./);
    expect(said).toMatch(/rods’ lengths are other numbers than today’s: .* share no error/);
    expect(said).toMatch(/slow-motion phone is taken for another camera than today’s/);
    expect(said).toMatch(/Noticed there: Shot 2: Something\./);
    const scale = { ...earlier.shots[0]!.scale!, rodM: today.shots[0]!.scale!.rodM };
    const rod = { ...earlier, shots: earlier.shots.map((shot) => ({ ...shot, scale })) };
    const copy = makeOuting(today, rod, { tracks: there, lacking: new Map() }, FACTS, null);
    const same = { ...copy, cameras: copy.cameras.map((one) => ({ ...one, here: "camera" })) };
    const sharing = outingSays(same, session).join("\n");
    expect(sharing).toMatch(/same number and ± as today: it is taken for one measurement/);
    expect(sharing).toMatch(/is taken for today’s slow-motion phone: where both state the same rate/);
  });

  it("stands as a row of the day with curves, read only and without a prediction; left out it counts nowhere", () => {
    const [row, second] = shotsElsewhere(session);
    expect(row).toMatchObject({
      shot: { id: "outing-1:shot-1", name: "Shot 1 of An afternoon", clip: null },
      outing: { title: "An afternoon", asHeavy: true },
      result: { prediction: null, notices: [] },
    });
    expect(second!.result!.notices).toHaveLength(1);
    const measured = there.get("shot-1")!.measurement;
    expect(row!.result!.measurement!.quantities.releaseSpeed).toMatchObject({
      value: measured.quantities.releaseSpeed!.value,
      unit: "m/s",
    });
    const ask = { alignment: "release", reference: 0, differences: true, arrangement: "over" } as const;
    for (const quantity of ["speed", "acceleration"] as const) {
      const drawn = overlayOfShots(
        [
          { name: "there", measurement: measured },
          { name: "copy", measurement: row!.result!.measurement! },
        ],
        { ...ask, quantity },
        "SI",
      );
      const [most, u] = [drawn!.panels[1]!.curves[0]!.points, Math.max(...measured.curves[quantity].u)];
      for (const [, off] of most.filter(([, y]) => Number.isFinite(y)))
        expect(Math.abs(off)).toBeLessThan(u / 50);
    }
    const without = applyEdit(session, { kind: "set-outing", outing: shotCounts(outing, "shot-1", false) });
    expect(outingShots(without).map(({ id }) => id)).toEqual(["outing-1:shot-2"]);
    expect(outingShotsToTune(without, "launcher-1")).toHaveLength(1);
    expect(shotsElsewhere(without)).toHaveLength(1);
    expect(outingSays(without.outings![0]!, without).join(" ")).toMatch(/Left out: Shot 1\./);
    expect(SessionSchema.safeParse(without).success).toBe(true);
  });

  it("counts no clip twice, whatever its folder is called, and knows a folder that moved by its clips", () => {
    const noted = (one: Session, digits: string): Session => ({
      ...one,
      clips: one.shots.map(({ clip }, i) => ({
        ...{ name: clip!, bytes: 1, fingerprint: `sha256-${`${digits}${i}`.padEnd(64, "0")}` },
      })),
    });
    const afternoon = noted(earlier, "a");
    const copy = makeOuting(today, afternoon, { tracks: there, lacking: new Map() }, FACTS, null);
    const now = applyEdit(noted(today, "b"), { kind: "set-outing", outing: copy });
    expect([...countedAlready(now, noted(earlier, "b"), "outing-2")]).toEqual([
      ["shot-1", "its clip is that of Shot 1 here, which counts already"],
    ]);
    expect([...countedAlready(now, afternoon, "outing-2").keys()]).toEqual(["shot-1", "shot-2"]);
    expect(countedAlready(now, afternoon, "outing-1").size).toBe(0);
    expect(countedAlready(now, earlier, "outing-2").size).toBe(0); // no clip was noted
    expect(isSessionOf({ ...afternoon, title: "Renamed" }, "sha256-other", copy)).toBe(true);
    expect(isSessionOf(noted(earlier, "c"), "sha256-other", copy)).toBe(false);
  });

  it("shares the errors of a camera that is said to be today's and holds the same rate, and no other's", () => {
    const rate = (one: Session) => ({ ...(one.shots[0] as Shot).clock! });
    const sameRate = { ...earlier, shots: earlier.shots.map((shot) => ({ ...shot, clock: rate(today) })) };
    const copy = makeOuting(today, sameRate, { tracks: there, lacking: new Map() }, FACTS, null);
    const said = { ...copy, cameras: copy.cameras.map((one) => ({ ...one, here: "camera" })) };
    const [apart, shared] = [copy, said].map((one) => {
      const now = applyEdit(today, { kind: "set-outing", outing: one });
      const speeds = shotSpeeds(now, today.shots[0] as Shot, resultsOf(now));
      return repeatGroups(speeds, true).find(({ shots }) => shots.length === 2)!.repeatability!;
    });
    // What both have moves the mean, what one has moves the two apart.
    expect(shared!.commonU).toBeGreaterThan(apart!.commonU);
    expect(shared!.measurementU).toBeLessThan(apart!.measurementU);
    expect(shared!.s).toBe(apart!.s);
  });
});

describe("what rests on another outing", () => {
  const inUse = () =>
    applyEdit(session, {
      kind: "set-tuning",
      launcherId: "launcher-1",
      tuning: tuningInUse({ ...REQUEST, shotIds: BOTH }, tuning.tuned),
    });

  it("knows the settings shot there, and stays when its folder is read again unchanged", () => {
    const now = inUse();
    const pressure = rangesTuned(now, now.tunings![0]!).find(({ of }) => of === "pressure")!;
    expect(pressure.low).toBe(outing.shots[0]!.conditions.gaugePressurePa!.value);
    expect(pressure.high).toBe(today.shots[0]!.conditions.gaugePressurePa!.value);
    const again = { ...structuredClone(outing), readAt: "2026-06-01T10:00:00.000Z" };
    const kept = applyEdit(now, { kind: "set-outing", outing: again });
    expect(kept.tunings![0]!.tuned).toEqual(tuning.tuned);
  });

  it("goes when what was read there is other now, when it is left out, or when the camera is said to be today's", () => {
    const now = inUse();
    const [first, ...rest] = outing.shots as [Outing["shots"][number]];
    const conditions = { ...first.conditions, gaugePressurePa: { value: 2.6e5, u: 3e3 } };
    const cameras = outing.cameras.map((one) => ({ ...one, here: "camera" }));
    for (const other of [
      { ...outing, shots: [{ ...first, conditions }, ...rest] },
      { ...outing, cameras },
    ]) {
      expect(applyEdit(now, { kind: "set-outing", outing: other }).tunings![0]!.tuned).toBeNull();
    }
    const without = applyEdit(now, { kind: "remove-outing", outingId: "outing-1" });
    expect(without).not.toHaveProperty("outings");
    expect(without.tunings![0]).toMatchObject({ tuned: null, shotIds: ["shot-1"] });
  });

  it("is refused by name where the launcher was stated otherwise there, or is none of this session's", () => {
    const stroke = { ...(launcher as RamLauncher), strokeM: { value: 0.7, u: 0.001 } };
    const { id: _id, ...short } = stroke as RamLauncher & { id: string };
    const other = { ...outing, launchers: [{ ...outing.launchers[0]!, launcher: short }] };
    const now = applyEdit(session, { kind: "set-outing", outing: other });
    const asked = { ...REQUEST, shotIds: ["outing-1:shot-1"] };
    expect(tuneFault(now, asked, { has: () => true })?.cause).toMatch(
      /Shot 1 of An afternoon.*stated otherwise there than here: the stroke\./,
    );
    expect(outingShotsToTune(now, "launcher-1")).toEqual([]);
    expect(outingSays(other, now).join(" ")).toMatch(/2 of Teasel ram do not count.*the stroke/);
    expect(shotSpeeds(now, today.shots[0] as Shot, resultsOf(now))).toHaveLength(1);
    const gone = applyEdit(session, { kind: "remove-launcher", launcherId: "launcher-1" });
    expect(gone.outings![0]!.launchers[0]!.here).toBeNull();
    expect(SessionSchema.safeParse(gone).success).toBe(true);
  });
});

/** Of today's shots, as far as repeats take them. */
function resultsOf({ shots }: Session) {
  return shots.map(({ id }) => ({
    shotId: id,
    measurement: own.get(id)!.measurement,
    prediction: null,
    comparison: null,
    notices: [],
  }));
}
