import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { measureShotFrom } from "../../../src/shared/measure/measure-shot.ts";
import { predictLaunch } from "../../../src/shared/predict/predict-shot.ts";
import { type FilmedShot, filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { sessionJsonSchema } from "../../../src/shared/session/json-schema.ts";
import { type LaunchInputs, launchInputs } from "../../../src/shared/session/launch-inputs.ts";
import { openSession } from "../../../src/shared/session/open-session.ts";
import type {
  Airframe,
  Launcher,
  ListedAirframe,
  Session,
  Shot,
  Tuning,
} from "../../../src/shared/session/schema.ts";
import { SESSION_VERSION } from "../../../src/shared/session/schema.ts";
import { settingValues } from "../../../src/shared/session/tested-range.ts";
import { FULL_FACTS } from "../../stress/full-sessions.ts";
import { fieldsOf } from "../../support/schema-fields.ts";

/*
 * Documents as earlier versions saved them. They are never changed: a person's files are not either.
 */
const KEPT = join(import.meta.dirname, "kept");
const names = readdirSync(KEPT);
const documents = names.filter((name) => name.endsWith(".json"));
const read = (name: string) => readFileSync(join(KEPT, name), "utf8");

describe("documents of earlier versions", () => {
  it("are kept of every version there was", () => {
    const versions = new Set(documents.map((name) => Number(/^version-(\d+)-/.exec(name)?.[1])));
    const earlier = Array.from({ length: SESSION_VERSION - 1 }, (_, i) => i + 1);
    expect([...versions].sort()).toEqual(earlier);
  });

  it.each(documents)("open with everything in them: %s", (name) => {
    const document = JSON.parse(read(name));
    const opened = openSession(document);
    if (!opened.ok) throw new Error(opened.fault.cause);
    expect(opened.fromVersion).toBe(document.version);
    expect(asOneOfEach(opened.session)).toEqual({ ...document, version: SESSION_VERSION });
  });

  // What measures and predicts takes nothing of a document but these two (see DEVELOPERS.md).
  it.each(documents)("give the same results to the last digit: %s", (name) => {
    const document = JSON.parse(read(name));
    const opened = openSession(document);
    if (!opened.ok) throw new Error(opened.fault.cause);
    for (const [at, shot] of opened.session.shots.entries()) {
      const [filmed, launch] = [filmedShot(opened.session, shot), launchInputs(opened.session, shot)];
      const now = measureShotFrom(filmed, launch, FULL_FACTS, predictLaunch(launch), null);
      const then = asResolvedBefore(document, at);
      const before = measureShotFrom(then.filmed, then.launch, FULL_FACTS, predictLaunch(then.launch), null);
      expect(JSON.stringify(now.result)).toBe(JSON.stringify(before.result));
    }
  });
});

describe("the form of the session", () => {
  it("changes only with the version: raise SESSION_VERSION, migrate, and keep a document of the version before", () => {
    expect(fieldsOf(sessionJsonSchema(), SESSION_VERSION)).toBe(
      read(`version-${SESSION_VERSION}-fields.txt`).trimEnd(),
    );
  });
});

/** A session with one of each in the form of version 2, which held no lists of them. */
function asOneOfEach({ airframes, launchers, tunings, points, shots, ...session }: Session) {
  const [{ id: airframeId, ...airframe }, ...others] = airframes as [ListedAirframe];
  expect([others, launchers.slice(1), (tunings ?? []).slice(1)]).toEqual([[], [], []]);
  const { id: launcherId = null, ...launcher } = launchers[0] ?? {};
  const { launcherId: tuned, ...tuning } = tunings?.[0] ?? {};
  expect(tuned ?? launcherId).toBe(launcherId);
  return {
    ...session,
    points: points.map(({ airframeId: on, ...point }) => {
      expect(on).toBe(point.on === "airframe" ? airframeId : null);
      return point;
    }),
    airframe,
    launcher: launcherId === null ? null : launcher,
    shots: shots.map(({ airframeId: thrown, launcherId: by, ...shot }) => {
      expect([thrown, by]).toEqual([airframeId, launcherId]);
      return shot;
    }),
    ...(tuned !== undefined && { tuning }),
  };
}

/** What a shot of a document of version 2 or before took from it, as those versions resolved it. */
function asResolvedBefore(
  document: Pick<Session, "points" | "cameras" | "shots" | "site" | "units"> & {
    readonly airframe: Airframe;
    readonly launcher: Launcher | null;
    readonly tuning?: Tuning;
  },
  at: number,
): { readonly filmed: FilmedShot; readonly launch: LaunchInputs } {
  const { airframe, launcher, tuning, points, cameras, site, units, shots } = document;
  const shot = shots[at] as Shot;
  const cameraAt = cameras.findIndex(({ id }) => id === shot.cameraId);
  const ofSameCamera = shots.flatMap((one, shotAt) =>
    one === shot || (one.cameraId !== null && one.cameraId === shot.cameraId) ? [{ shot: one, shotAt }] : [],
  );
  const inUse = tuning?.use === true && tuning.tuned !== null;
  const tunedOn = shots.filter(({ id }) => inUse && tuning.shotIds.includes(id));
  const common = { airframe, launcher, points, units };
  return {
    filmed: {
      ...common,
      ...{ shot, shotAt: at, camera: cameras[cameraAt] ?? null, cameraAt },
      ...{ allPoints: points, airframeAt: 0, site, ofSameCamera },
    },
    launch: {
      ...common,
      ...{ tuning, conditions: shot.conditions, at: { shot: at, airframe: 0, launcher: 0, tuning: 0 } },
      tested: (["pressure", "mass", "stroke", "draw"] as const).flatMap((of) => {
        const values = tunedOn.flatMap(
          ({ conditions }) => settingValues(launcher, airframe, conditions)[of] ?? [],
        );
        return values.length === 0 ? [] : [{ of, low: Math.min(...values), high: Math.max(...values) }];
      }),
    },
  };
}
