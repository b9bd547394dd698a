import { describe, expect, it } from "vitest";
import { type Course, createCourse } from "../../../src/shared/follow/course.ts";

const place = (x: number, time: number) => ({ x, y: 10, theta: 0, time });
/** Goes on to each place in turn, frame by frame; the frames it names as shown again. */
function passed(course: Course, xs: readonly number[], still: (x: number, before: number) => boolean) {
  let before = xs[0]!;
  return xs.slice(1).flatMap((x, i) => {
    const [frame, { stepPx }] = [i + 1, course.expected(i + 1)];
    const again = course.pass(frame, place(x, frame), stepPx, () => still(x, before));
    before = x;
    return again;
  });
}
const stands = (x: number, before: number) => x === before;

describe("createCourse", () => {
  it("expects a point where its acceleration leads, where its speed leads, and where it is", () => {
    const course = createCourse(place(0, 0));
    passed(course, [0, 5, 14], stands); // steps of 5 and 9: then 13
    expect(course.expected(3).places.map(({ x }) => x)).toEqual([27, 23, 14]);
    expect(course.expected(3).stepPx).toBe(13);
  });

  it("calls a still picture shown again once the motion goes on, not before", () => {
    const course = createCourse(place(0, 0));
    expect(passed(course, [0, 5, 10, 15, 15], stands)).toEqual([]);
    expect(course.pass(5, place(20, 5), 5, () => false)).toEqual([4]);
  });

  it("calls a stop no repeat, and expects the point to stay once it has stood for four frames", () => {
    const course = createCourse(place(0, 0));
    expect(passed(course, [0, 5, 10, 15, 15, 15, 15, 15, 15], stands)).toEqual([]);
    expect(course.expected(9).places.map(({ x }) => x)).toEqual([15]);
    expect(course.pass(9, place(20, 9), 0, () => false)).toEqual([]);
  });

  it("calls no frame shown again in which anything else moved", () => {
    const course = createCourse(place(0, 0));
    expect(passed(course, [0, 5, 10, 15, 15, 20], () => false)).toEqual([]);
  });

  it("judges a place by speed and by acceleration, and a first place not at all", () => {
    const course = createCourse(place(0, 0));
    expect(course.isOn(place(40, 1), course.expected(1))).toBeNull();
    passed(course, [0, 5, 14], stands);
    const expected = course.expected(3);
    // 13 px are due: 3 + 13/4 = 6.25 px off either 27 or 23
    expect([16, 17, 33, 34].map((x) => course.isOn(place(x, 3), expected))).toEqual([
      false,
      true,
      true,
      false,
    ]);
  });
});
