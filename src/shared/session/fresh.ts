import { SESSION_FORMAT, SESSION_VERSION, type Session, type Shot } from "./schema.ts";

/** A session with nothing in it but the two points every airframe needs to have a pitch: nose and tail. */
export function freshSession(title: string): Session {
  return {
    format: SESSION_FORMAT,
    version: SESSION_VERSION,
    title,
    units: "SI",
    points: [
      { id: "nose", name: "nose", on: "airframe", body: null },
      { id: "tail", name: "tail", on: "airframe", body: null },
    ],
    airframe: {
      name: "",
      massKg: null,
      centreOfGravity: null,
      pitchInertiaKgM2: null,
      wingAreaM2: null,
      liftCoefficientMax: null,
      loadLimitG: null,
    },
    launcher: null,
    cameras: [],
    shots: [],
  };
}

/**
 * A shot of one clip with nothing measured yet. The air is the standard atmosphere, so uncertain that
 * it is seen to be a guess.
 */
export function freshShot(id: string, name: string, clip: string | null): Shot {
  return {
    id,
    name,
    clip,
    cameraId: null,
    conditions: {
      gaugePressurePa: null,
      temperatureK: { value: 288.15, u: 10 },
      airPressurePa: { value: 101325, u: 3000 },
      headwindMPerS: { value: 0, u: 2 },
    },
    clock: null,
    scale: null,
    plumb: null,
    release: { by: "change-point" },
    direction: "right",
    marks: [],
    notes: "",
  };
}
