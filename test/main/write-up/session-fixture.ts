import type { ShotResult } from "../../../src/shared/results/shot-result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";

/** A session around invented results: two shots, a launcher, marks where the results have residuals. */
export function inventedSession(results: readonly ShotResult[]): Session {
  const fresh = freshSession("Saltmarsh field, third outing");
  return oneOfEach({
    ...fresh,
    airframe: {
      ...firstOf(fresh).airframe,
      name: "Dunlin glider",
      massKg: { value: 0.82, u: 0.002 },
      centreOfGravity: {
        fromPointId: "nose",
        towardPointId: "tail",
        alongM: { value: 0.312, u: 0.002 },
        aboveM: { value: 0.004, u: 0.002 },
      },
      loadLimitG: { value: 32, u: 2 },
    },
    launcher: {
      kind: "compressed-air-ram",
      name: "Heron ram",
      tankVolumeM3: { value: 0.003, u: 0.00003 },
      tankMaterial: "unknown",
      tankRatingPa: 1e6,
      boreM: { value: 0.04, u: 0.0001 },
      strokeM: { value: 0.785, u: 0.001 },
      deadVolumeM3: { value: 0.0001, u: 0.00001 },
      valve: { conductance: { value: 1.2e-7, u: 1e-8 }, criticalRatio: { value: 0.3, u: 0.05 } },
      openingS: { value: 0.008, u: 0.002 },
      movingMassKg: { value: 0.35, u: 0.005 },
      angleRad: { value: 0.513, u: 0.005 },
      breakawayN: { value: 12, u: 4 },
      slidingN: { value: 6, u: 3 },
      viscousNsPerM: { value: 0.5, u: 0.3 },
      rodChamber: null,
      gas: "adiabatic",
    },
    cameras: [{ id: "a", name: "pocket camera", captureRateHz: { value: 960, u: 1 }, exposureS: 0.0002 }],
    shots: results.map((result, i) => inventedShot(result, i)),
  });
}

function inventedShot(result: ShotResult, index: number): Shot {
  const fresh = freshShot(result.shotId, `Shot ${index + 1}, 3.5 bar`, `C000${index + 1}.mp4`);
  return {
    ...fresh,
    cameraId: "a",
    conditions: { ...fresh.conditions, gaugePressurePa: { value: 3.5e5, u: 5e3 } },
    clock: { kind: "capture-rate", captureRateHz: { value: 960, u: 1 } },
    scale: { a: [200.5, 640.5], b: [1010.5, 644.5], uPx: 0.5, rodM: { value: 1.2, u: 0.001 } },
    plumb: { top: [900.5, 80.5], bottom: [902.5, 410.5], uPx: 0.5, hangRad: 0.001 },
    marks: (result.measurement?.residuals ?? []).map(({ pointId, frame }) => ({
      pointId,
      frame,
      x: 210.25 + 4 * frame + (pointId === "nose" ? 180 : 0),
      y: 520.75 - 2 * frame,
      u: 0.3,
      by: frame % 2 === 0 ? "hand" : "follower",
    })),
    notes: index === 0 ? "Gusty; the cradle was greased before this shot." : "",
  };
}

export function inventedFacts(name: string): ClipFacts {
  return {
    name,
    bytes: 12_345_678,
    modifiedMs: 0,
    container: "mov,mp4",
    codec: "h264",
    pixelFormat: "yuv420p",
    bitDepth: 8,
    codedWidth: 1920,
    codedHeight: 1080,
    pixelAspect: [1, 1],
    rotationDeg: 0,
    width: 1920,
    height: 1080,
    durationS: 8,
    playbackRateHz: 30,
    captureRateHz: null,
    constantRate: true,
    timeBase: [1, 15360],
    pts: Array.from({ length: 240 }, (_, i) => 512 * i),
    keyFrames: [0, 120],
    startS: 0,
  };
}
