import { type WeightedPolynomial, weightedPolynomial } from "../numeric/weighted-polynomial.ts";
import { expectedPlace, type Passed } from "./expected-place.ts";
import type { Warp } from "./match-template.ts";

// px; a step that short, where one of more than MOVING_PX was due, in a picture in which nothing moved
const STILL_PX = 0.3;
const MOVING_PX = 1.5;
const MOST_AGAIN = 3; // pictures shown again in a row; longer, the point has stopped
// px and share of the step that the expected place may be missed by: a release at 240
// frames a second does 2.4
const OFF_PX = 3;
const OFF_SHARE = 0.25;
const KEPT = 7; // places that a course over a gap is drawn through
const SAME_PX = 2; // expectations that near are looked at once

/** Where a point may be in the next picture. */
export interface Expected {
  /** The likeliest first: as it accelerated, as it moved, where it stands. */
  readonly places: readonly Warp[];
  readonly last: Warp;
  /** px it is due to move. */
  readonly stepPx: number;
}

/** The course a point was seen on. */
export interface Course {
  expected(time: number): Expected;
  /**
   * The same after some frames in which it was not seen, by the parabola through its last seven places: three
   * would carry their errors far.
   */
  expectedAfar(time: number): Expected;
  /** Whether a place is within what the course allows; null while too little is known of it. */
  isOn(place: Warp, expected: Expected): boolean | null;
  /**
   * Goes on to a place. A picture in which nothing moves is put by until the next ones tell whether it was
   * shown again, and the motion then goes on, or whether the point has stopped.
   * @param isStill asked only where the point hardly moved though it was due to
   * @returns the frames that turn out to have shown the picture before them again
   */
  pass(frame: number, place: Passed, stepPx: number, isStill: () => boolean): readonly number[];
  /** Goes on from another place, with what is known of the motion. */
  moveTo(place: Passed): void;
}

export function createCourse(first: Passed): Course {
  let track: readonly Passed[] = [first];
  let again: readonly { readonly frame: number; readonly place: Passed }[] = [];
  let afterRepeat = false;

  const last = () => track.at(-1) as Passed;
  const take = (place: Passed) => {
    track = [...track, place].slice(-KEPT);
  };

  const among = (places: readonly Warp[]): Expected => {
    const [likeliest] = places;
    const stepPx = Math.hypot(likeliest.x - last().x, likeliest.y - last().y);
    return { places: apart([...places, last()]), last: last(), stepPx };
  };

  return {
    expected: (time) => among([expectedPlace(track, time), expectedPlace(track.slice(-2), time)]),

    expectedAfar: (time) => among([smoothPlace(track, time), expectedPlace(track.slice(-2), time)]),

    isOn(place, { places, stepPx }) {
      if (track.length < 3) return null;
      if (again.length > 0 || afterRepeat) return true; // the next step may be one or two long
      const moving = places.slice(0, 2);
      return moving.some(
        (one) => Math.hypot(place.x - one.x, place.y - one.y) <= OFF_PX + OFF_SHARE * stepPx,
      );
    },

    pass(frame, place, stepPx, isStill) {
      const from = last();
      const stepped = Math.hypot(place.x - from.x, place.y - from.y);
      if (stepped < STILL_PX && stepPx > MOVING_PX && track.length > 2 && isStill()) {
        again = [...again, { frame, place }];
        if (again.length > MOST_AGAIN) {
          for (const one of again) take(one.place);
          again = [];
        }
        return [];
      }
      const before = track.at(-2);
      const usual = before === undefined ? 0 : Math.hypot(from.x - before.x, from.y - before.y);
      const repeated = again.length > 0 && stepped > usual / 2 ? again.map((one) => one.frame) : [];
      if (repeated.length === 0) for (const one of again) take(one.place);
      afterRepeat = repeated.length > 0;
      again = [];
      take(place);
      return repeated;
    },

    moveTo(place) {
      const from = last();
      again = [];
      track = track.map((one) => ({
        ...one,
        x: one.x + place.x - from.x,
        y: one.y + place.y - from.y,
        time: one.time + place.time - from.time,
        theta: one.theta + place.theta - from.theta,
      }));
    },
  };
}

const ENOUGH = 5; // places; through fewer the parabola is as free as through three

function smoothPlace(track: readonly Passed[], time: number): Warp {
  if (track.length < ENOUGH) return expectedPlace(track, time);
  const times = track.map((one) => one.time);
  const equal = track.map(() => 1);
  const along = (of: (one: Passed) => number) => weightedPolynomial(times, track.map(of), equal, 2);
  const [x, y] = [along((one) => one.x), along((one) => one.y)];
  return { x: heightAt(x, time), y: heightAt(y, time), theta: expectedPlace(track.slice(-2), time).theta };
}

function heightAt({ centre, half, coefficients: c }: WeightedPolynomial, time: number): number {
  const z = (time - centre) / half;
  return c[0] + z * (c[1] + z * c[2]);
}

/** Without those that lie within two pixels of one before them. */
function apart(places: readonly Warp[]): readonly Warp[] {
  return places.filter(
    (one, i) => !places.slice(0, i).some((other) => Math.hypot(one.x - other.x, one.y - other.y) < SAME_PX),
  );
}
