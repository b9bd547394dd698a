import type { Measured } from "../quantity/measured.ts";
import type { EntryKind } from "./entry-unit.ts";

/**
 * What an uncertainty that nobody stated is taken to be: a share of the value, and never less than `least`,
 * SI.
 */
interface AssumedU {
  readonly share: number;
  readonly least: number;
}

/** 1, of a capture rate: 0.5 in 240 frames/s. */
export const RATE_SHARE = 0.002;
/** 1, of the file's own clock: quartz in the field. */
export const STAMP_U = 1e-4;
/** m, u of how far the flight was from the rod's plane, towards the camera or away. */
export const OFF_PLANE_U_M = 0.01;
/** 1, of a rod's length: a millimetre in a metre. */
export const ROD_SHARE = 0.001;

/*
 * Each is what a careful person reaches with the tools of a workshop, rounded up: a tape, kitchen scales, a
 * dial gauge, a thermometer in the shade. Common practice, no source.
 */
const BY_KIND: Readonly<Record<EntryKind, AssumedU>> = {
  length: { share: 0.002, least: 1e-3 },
  "small-length": { share: 0.005, least: 5e-4 },
  distance: { share: 0.02, least: 0.01 },
  mass: { share: 0.01, least: 1e-3 },
  "small-mass": { share: 0.01, least: 1e-4 },
  inertia: { share: 0.1, least: 1e-9 },
  area: { share: 0.03, least: 1e-6 },
  pressure: { share: 0.02, least: 5e3 },
  "air-pressure": { share: 0, least: 300 },
  temperature: { share: 0, least: 1 },
  speed: { share: 0.02, least: 0.5 },
  volume: { share: 0.02, least: 1e-6 },
  "small-volume": { share: 0.1, least: 1e-7 },
  conductance: { share: 0.1, least: 1e-12 },
  time: { share: 0.02, least: 1e-4 },
  duration: { share: 0.02, least: 0.05 },
  impulse: { share: 0.05, least: 0.01 },
  strokes: { share: 0.1, least: 1 / 60 },
  "free-air": { share: 0.1, least: 1e-6 },
  angle: { share: 0, least: 0.0087 },
  "angle-rate": { share: 0.05, least: 0.01 },
  acceleration: { share: 0.02, least: 0.05 },
  force: { share: 0.03, least: 0.1 },
  viscous: { share: 0.2, least: 0.01 },
  "turning-stiffness": { share: 0.2, least: 0.01 },
  "turning-damping": { share: 0.2, least: 0.01 },
  rate: { share: RATE_SHARE, least: 1e-6 },
  "parts-per-million": { share: 0, least: STAMP_U },
  ratio: { share: 0.1, least: 0.01 },
  load: { share: 0.05, least: 0.5 },
  pixels: { share: 0, least: 0.5 },
  metres: { share: 0.005, least: 5e-3 },
  "per-second": { share: 0.05, least: 1e-9 },
  "inverse-angle": { share: 0.1, least: 0.05 },
  "whole-frames": { share: 0, least: 0.5 },
  count: { share: 0, least: 0.5 },
};

/** Inputs whose ± is assumed otherwise than that of their kind, by path. */
const BY_PATH: Readonly<Record<string, AssumedU>> = {
  "shots[].scale.rodM": { share: ROD_SHARE, least: 1e-6 },
  "shots[].rods[].rodM": { share: ROD_SHARE, least: 1e-6 },
};

/**
 * A value whose uncertainty nobody stated, with the one that is assumed for an input of its kind, k = 1, SI.
 * @param path place in the table of inputs; null for a number that no document holds
 */
export function withAssumedU(value: number, kind: EntryKind, path: string | null): Measured {
  const { share, least } = (path === null ? undefined : BY_PATH[path]) ?? BY_KIND[kind];
  return { value, u: Math.max(share * Math.abs(value), least), assumed: true };
}
