import { describe, expect, it } from "vitest";
import { project } from "../../../src/shared/scale/homography-map.ts";
import { cornersOf, mapOfCorners, movedPictures } from "../../../src/shared/scale/moved-pictures.ts";
import { seenMovement } from "../../../src/shared/scale/seen-movement.ts";

const PICTURE = [400, 300] as const;
const PLAIN = [0, 0, 400, 0, 400, 300, 0, 300];

describe("mapOfCorners", () => {
  it("gives back the map that put the corners there", () => {
    const map = [1.02, 0.03, 12, -0.02, 0.98, -7, 4e-5, -6e-5];
    const found = mapOfCorners(cornersOf(map, PICTURE), PICTURE)!;
    for (const place of [
      [10, 20],
      [390, 250],
      [200, 150],
    ] as const) {
      const [x, y] = project(map, place).at;
      expect(project(found, place).at).toEqual([expect.closeTo(x, 9), expect.closeTo(y, 9)]);
    }
  });
  it("makes no map of corners that are mirrored, crossed or in a line", () => {
    expect(mapOfCorners([400, 0, 0, 0, 0, 300, 400, 300], PICTURE)).toBeNull();
    expect(mapOfCorners([0, 0, 400, 300, 400, 0, 0, 300], PICTURE)).toBeNull();
    expect(mapOfCorners([0, 0, 1, 1, 2, 2, 3, 3], PICTURE)).toBeNull();
  });
});

describe("movedPictures", () => {
  const shifted = PLAIN.map((value, i) => value + (i % 2 === 0 ? 30 : -10));
  const zoomed = PLAIN.map((value) => 2 * value);
  const pictures = movedPictures({
    referenceFrame: 3,
    picturePx: PICTURE,
    frames: [
      { frame: 3, corners: PLAIN, u: [0, 0] },
      { frame: 4, corners: shifted, u: [0.1, 0.5] },
      { frame: 5, corners: zoomed, u: [0.2, 0.2] },
      { frame: 6, corners: [...PLAIN].fill(1), u: [0.1, 0.1] },
    ],
  });

  it("brings a place to the reference picture, and leaves the reference as it is", () => {
    expect(pictures.at(3)!.steady([17, 23])).toEqual([17, 23]);
    expect(pictures.at(4)!.steady([130, 90])).toEqual([expect.closeTo(100, 9), expect.closeTo(100, 9)]);
    expect(pictures.at(5)!.steady([200, 90])).toEqual([expect.closeTo(100, 9), expect.closeTo(45, 9)]);
  });
  it("adds what the frame's place is uncertain by, from the middle to the corners, both divided by the zoom", () => {
    // by hand: in the middle 0.1 px, at a corner 0.5; halved by a zoom of 2
    expect(pictures.at(4)!.covariance([200, 150], [0.04, 0, 0.04])).toEqual({
      mark: [expect.closeTo(0.04, 9), expect.closeTo(0, 9), expect.closeTo(0.04, 9)],
      frame: [expect.closeTo(0.01, 9), expect.closeTo(0, 9), expect.closeTo(0.01, 9)],
    });
    expect(pictures.at(4)!.covariance([0, 0], [0, 0, 0]).frame[0]).toBeCloseTo(0.25, 9);
    const { mark, frame } = pictures.at(5)!.covariance([200, 150], [0.04, 0, 0.16]);
    expect([mark[0], mark[2], frame[0]]).toEqual([0.01, 0.04, 0.01].map((one) => expect.closeTo(one, 9)));
  });
  it("knows nothing of a frame that is missing or makes no picture", () => {
    expect(pictures.at(7)).toBeNull();
    expect(pictures.at(6)).toBeNull();
  });
});

describe("seenMovement", () => {
  const at = (frame: number, by: number, u = 0.05) =>
    ({ frame, corners: PLAIN.map((value) => value + by), u: [u, 2 * u] }) as const;
  it("takes a shift of half a pixel for movement, and less for none", () => {
    expect(seenMovement([at(0, 0), at(10, 0.3)])).toMatchObject({ moves: false });
    const moved = seenMovement([at(0, 0.2), at(10, -0.2), at(20, 0.1)]);
    expect(moved).toMatchObject({ moves: true, shiftPx: expect.closeTo(0.4 * Math.SQRT2, 9) });
  });
  it("does not take for movement what the frames are uncertain by", () => {
    expect(seenMovement([at(0, 0, 0.2), at(10, 0.5, 0.2)])).toMatchObject({ moves: false });
  });
  it("sees a zoom about the middle by the corners", () => {
    const corners = PLAIN.map((value, i) => (value - [200, 150][i % 2]!) * 1.01 + [200, 150][i % 2]!);
    expect(seenMovement([at(0, 0), { frame: 9, corners, u: [0.05, 0.1] }])).toMatchObject({ moves: true });
  });
  it("says nothing of one frame", () => {
    expect(seenMovement([at(0, 0)])).toBeNull();
  });
});
