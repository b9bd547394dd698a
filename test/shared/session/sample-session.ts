import type { Edit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Launcher, Mark, Session, Shot } from "../../../src/shared/session/schema.ts";
import fc from "../../support/drawn-inputs.ts";
import { oneOfEach } from "../../support/one-of-each.ts";

export const sampleLauncher: Launcher = {
  kind: "compressed-air-ram",
  name: "invented ram",
  tankVolumeM3: { value: 0.012, u: 0.0002 },
  tankMaterial: "metal",
  tankRatingPa: 1.1e6,
  boreM: { value: 0.05, u: 0.0001 },
  strokeM: { value: 0.9, u: 0.003 },
  deadVolumeM3: { value: 0.0003, u: 0.00005 },
  valve: { conductance: { value: 1.4e-7, u: 1e-8 }, criticalRatio: { value: 0.3, u: 0.05 } },
  openingS: { value: 0.01, u: 0.002 },
  movingMassKg: { value: 0.8, u: 0.005 },
  angleRad: { value: 0.2, u: 0.005 },
  breakawayN: { value: 30, u: 5 },
  slidingN: { value: 15, u: 4 },
  viscousNsPerM: { value: 2, u: 1 },
  rodChamber: null,
  gas: "adiabatic",
};

export function mark(pointId: string, frame: number, x: number, y: number): Mark {
  return { pointId, frame, x, y, u: 0.4, by: "hand" };
}

/** A session with every part filled in; all numbers invented and unequal. */
export function sampleSession(): Session {
  const shot: Shot = {
    ...freshShot("shot-1", "first shot", "one.mp4"),
    cameraId: "side",
    conditions: {
      gaugePressurePa: { value: 4.1e5, u: 5e3 },
      temperatureK: { value: 291, u: 1 },
      airPressurePa: { value: 99800, u: 150 },
      headwindMPerS: { value: 1.2, u: 0.6 },
    },
    clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 2 } },
    scale: { a: [102.5, 610.2], b: [820.4, 604.8], uPx: 0.5, rodM: { value: 1.5, u: 0.001 } },
    plumb: { top: [900.1, 40.2], bottom: [903.7, 640.9], uPx: 0.6, hangRad: 0.002 },
    release: { by: "person", frame: 41.5, uFrames: 1 },
    marks: [mark("nose", 3, 310.2, 402.1), mark("tail", 3, 214.9, 407.3), mark("nose", 4, 312.8, 401.9)],
  };
  const fresh = freshSession("An afternoon");
  return oneOfEach({
    ...fresh,
    airframe: {
      name: "invented glider",
      massKg: { value: 0.61, u: 0.002 },
      centreOfGravity: {
        fromPointId: "nose",
        towardPointId: "tail",
        alongM: { value: 0.21, u: 0.003 },
        aboveM: { value: 0.004, u: 0.001 },
      },
      pitchInertiaKgM2: { value: 0.021, u: 0.002 },
      wingAreaM2: { value: 0.18, u: 0.002 },
      liftCoefficientMax: { value: 1.1, u: 0.1 },
      loadLimitG: { value: 60, u: 6 },
    },
    launcher: sampleLauncher,
    cameras: [{ id: "side", name: "side camera", captureRateHz: { value: 960, u: 2 }, exposureS: 0.0002 }],
    shots: [shot, freshShot("shot-2", "second shot", "two.mov")],
  });
}

const POINTS = ["nose", "tail"] as const;
const SHOTS = ["shot-1", "shot-2"] as const;

/** Edits of marks that are always allowed on the sample session, whatever was done before. */
export const markEdit: fc.Arbitrary<Edit> = fc
  .record({
    shotId: fc.constantFrom(...SHOTS),
    pointId: fc.constantFrom(...POINTS),
    frame: fc.nat({ max: 12 }),
    x: fc.double({ min: 0, max: 1920, noNaN: true }),
    y: fc.double({ min: 0, max: 1080, noNaN: true }),
  })
  .map(({ shotId, pointId, frame, x, y }) => ({
    kind: "set-mark",
    shotId,
    mark: mark(pointId, frame, x, y),
  }));

/** Edits of every kind that stay allowed on the sample session in any order (nothing is added or removed). */
export const anyEdit: fc.Arbitrary<Edit> = fc.oneof(
  { weight: 4, arbitrary: markEdit },
  fc.string({ maxLength: 40 }).map((title): Edit => ({ kind: "set-title", title })),
  fc
    .constantFrom("SI", "field")
    .map((units): Edit => ({ kind: "set-units", units: units as Session["units"] })),
  fc
    .record({ shotId: fc.constantFrom(...SHOTS), notes: fc.string({ maxLength: 40 }) })
    .map(({ shotId, notes }): Edit => ({ kind: "update-shot", shotId, patch: { notes } })),
  fc
    .record({ pointId: fc.constantFrom(...POINTS), name: fc.string({ minLength: 1, maxLength: 40 }) })
    .map(({ pointId, name }): Edit => ({ kind: "update-point", pointId, patch: { name } })),
  fc.double({ min: 0.01, max: 30, noNaN: true }).map(
    (value): Edit => ({
      kind: "update-airframe",
      airframeId: "airframe-1",
      patch: { massKg: { value, u: value / 100 } },
    }),
  ),
  fc.double({ min: 0.1, max: 2, noNaN: true }).map(
    (value): Edit => ({
      kind: "set-launcher",
      launcherId: "launcher-1",
      launcher: { ...sampleLauncher, strokeM: { value, u: 0.003 } } as Launcher,
    }),
  ),
  fc.double({ min: 1, max: 1e5, noNaN: true }).map(
    (value): Edit => ({
      kind: "update-camera",
      cameraId: "side",
      patch: { captureRateHz: { value, u: 1 } },
    }),
  ),
);
