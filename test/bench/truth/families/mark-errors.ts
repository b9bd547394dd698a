import type { Chance } from "../../../../src/shared/quantity/chance.ts";

type Place = readonly [number, number];

export interface Marking {
  readonly chance: Chance;
  readonly frames: number;
  readonly points: number;
  /** m, standard deviation of each coordinate. */
  readonly noiseM: number;
  readonly directionRad: number;
}

/**
 * Where a point is marked that is at a place; null where it is not marked. Asked frame
 * by frame, point by point.
 */
export type ErrorModel = (marking: Marking) => (place: Place, frame: number, point: number) => Place | null;

/** Independent errors, the same in every direction. */
export const WHITE: ErrorModel =
  ({ chance, noiseM }) =>
  ([x, y]) => [x + noiseM * chance.normal(), y + noiseM * chance.normal()];

/** Errors that go on from frame to frame: each is `phi` times the last and something new. */
export function correlated(phi: number): ErrorModel {
  return ({ chance, points, noiseM }) => {
    const state = Array.from({ length: points }, (): [number, number] => [
      noiseM * chance.normal(),
      noiseM * chance.normal(),
    ]);
    const fresh = noiseM * Math.sqrt(1 - phi * phi);
    return ([x, y], _frame, point) => {
      const [ex, ey] = state[point] as [number, number];
      state[point] = [phi * ex + fresh * chance.normal(), phi * ey + fresh * chance.normal()];
      return [x + ex, y + ey];
    };
  };
}

/** Errors `ratio` times as large along the motion as across it; their mean square is the stated one. */
export function oblong(ratio: number): ErrorModel {
  return ({ chance, noiseM, directionRad }) => {
    const across = noiseM * Math.sqrt(2 / (1 + ratio * ratio));
    const [cos, sin] = [Math.cos(directionRad), Math.sin(directionRad)];
    return ([x, y]) => {
      const [s, n] = [ratio * across * chance.normal(), across * chance.normal()];
      return [x + cos * s - sin * n, y + sin * s + cos * n];
    };
  };
}

/** Clicks on whole pixels of a picture shown `zoom` times as large, by a hand as steady as the noise. */
export function clicked(stepM: number): ErrorModel {
  return (marking) => {
    const white = WHITE(marking);
    return (place, frame, point) => {
      const seen = white(place, frame, point);
      if (seen === null) return null;
      return [Math.round(seen[0] / stepM) * stepM, Math.round(seen[1] / stepM) * stepM];
    };
  };
}

/** All points of a frame moved together by a camera that nobody marked a still point for. */
export function shaken(phi: number, sizeM: number): ErrorModel {
  return (marking) => {
    const white = WHITE(marking);
    const { chance } = marking;
    let state: [number, number] = [sizeM * chance.normal(), sizeM * chance.normal()];
    let last = -1;
    return (place, frame, point) => {
      if (frame !== last) {
        const fresh = sizeM * Math.sqrt(1 - phi * phi);
        state = [phi * state[0] + fresh * chance.normal(), phi * state[1] + fresh * chance.normal()];
        last = frame;
      }
      const seen = white(place, frame, point) as Place;
      return [seen[0] + state[0], seen[1] + state[1]];
    };
  };
}

/** A share of all marks was never placed. */
export function thinned(share: number): ErrorModel {
  return (marking) => {
    const white = WHITE(marking);
    return (place, frame, point) => (marking.chance.uniform() < share ? null : white(place, frame, point));
  };
}

/** A stretch of frames, somewhere, in which nothing is marked. */
export function gap(least: number, most: number): ErrorModel {
  return (marking) => {
    const white = WHITE(marking);
    const { chance, frames } = marking;
    const length = least + Math.floor(chance.uniform() * (most - least + 1));
    const from = 5 + Math.floor(chance.uniform() * Math.max(1, frames - length - 10));
    return (place, frame, point) =>
      frame >= from && frame < from + length ? null : white(place, frame, point);
  };
}
