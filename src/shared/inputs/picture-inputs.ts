import type { Input, Range } from "./input.ts";
import { inputs, type Row } from "./rows.ts";

// px: a picture has some thousands; a mark far outside is refused where the lens is taken out
const PICKED: Range = [-1e6, 1e6];
const NEAR_PICTURE: Range = [-2e4, 2e4];
const PICK_U: Range = [1e-4, 1e5];
const USUAL_U: Range = [0.005, 100];
const FRAMES: Range = [0, 1e8];
const USUAL_FRAMES: Range = [0, 1e7];

/** Both coordinates of a picked place. */
const place = (at: string, words: string): readonly Row[] => [
  [`${at}[0]`, "pixels", "Across", `${words}, across the picture`, PICKED, NEAR_PICTURE],
  [`${at}[1]`, "pixels", "Down", `${words}, down the picture`, PICKED, NEAR_PICTURE],
];
const pickU = (words: string): Row => [
  "uPx",
  "pixels",
  "Each picked coordinate ±",
  `the uncertainty of the picked ${words}`,
  PICK_U,
  USUAL_U,
];
const frame = (at: string, words: string): Row => [
  at,
  "whole-frames",
  "Picked in frame",
  `the frame ${words} was picked in`,
  FRAMES,
  USUAL_FRAMES,
];
const ROD: readonly Row[] = [
  ["rodM", "length", "Length of the rod", "the length of the rod", [1e-4, 1e4], [0.01, 100]],
];
const TRUE_TO: Range = [0, 0.2];

/** What is picked in the pictures, and the lengths and angles that go with it. */
export const PICTURE_INPUTS: readonly Input[] = [
  ...["shots[].scale.", "shots[].rods[]."].flatMap((at) => [
    ...inputs(at, "measured", "scale", ROD),
    ...inputs(at, "number", "scale", [
      ...place("a", "one end of the rod"),
      ...place("b", "the other end of the rod"),
      pickU("ends of the rod"),
    ]),
    ...inputs(at, "whole", "scale", [
      frame("aFrame", "one end of the rod"),
      frame("bFrame", "the other end of the rod"),
    ]),
  ]),
  ...inputs("shots[].plumb.", "number", "scale", [
    ...place("top", "the plumb's upper end"),
    ...place("bottom", "the plumb's lower end"),
    pickU("ends of the plumb"),
    ["hangRad", "angle", "The line itself is true within", "how true the plumb hangs", [0, 1.5708], TRUE_TO],
  ]),
  ...inputs("shots[].plumb.", "whole", "scale", [
    frame("topFrame", "the plumb's upper end"),
    frame("bottomFrame", "the plumb's lower end"),
  ]),
  ...inputs("shots[].level.", "number", "scale", [
    ...place("left", "the level's left end"),
    ...place("right", "the level's right end"),
    pickU("ends of the level"),
    ["tiltRad", "angle", "The line itself is true within", "how true the level lies", [0, 1.5708], TRUE_TO],
  ]),
  ...inputs("shots[].level.", "whole", "scale", [
    frame("leftFrame", "the level's left end"),
    frame("rightFrame", "the level's right end"),
  ]),
  ...inputs("shots[].control.", "number", "scale", [
    pickU("known points"),
    [
      "uM",
      "small-length",
      "Each known coordinate ±",
      "the uncertainty of the known points",
      [0, 1000],
      [0, 1],
    ],
    ...place("points[].at", "a known point"),
    ["points[].xM", "metres", "Across", "the place of a known point across", [-1e4, 1e4], [-500, 500]],
    ["points[].yM", "metres", "Height", "the height of a known point", [-1e4, 1e4], [-500, 500]],
  ]),
  ...inputs("shots[].control.", "whole", "scale", [frame("points[].frame", "a known point")]),
  ...inputs("shots[].setting.", "measured", "scale", [
    [
      "distanceM",
      "distance",
      "From the camera to the rod",
      "the distance from the camera to the rod",
      [1e-3, 1e5],
      [0.1, 500],
    ],
    [
      "nearerM",
      "distance",
      "The flight is nearer by",
      "how much nearer the flight is than the rod",
      [-1e5, 1e5],
      [-100, 100],
    ],
    [
      "turnRad",
      "angle",
      "Its right side turned away by",
      "the turn of the flight plane",
      [-1.5708, 1.5708],
      [-1.05, 1.05],
    ],
  ]),
  ...inputs("shots[].marks[].", "number", "marks", [
    ["x", "pixels", "Across", "a mark's place across the picture", PICKED, NEAR_PICTURE],
    ["y", "pixels", "Down", "a mark's place down the picture", PICKED, NEAR_PICTURE],
    ["u", "pixels", "Each coordinate ±", "a mark's uncertainty", PICK_U, USUAL_U],
  ]),
  ...inputs("shots[].marks[].", "whole", "marks", [
    ["frame", "whole-frames", "Frame", "a mark's frame", FRAMES, USUAL_FRAMES],
  ]),
  ...inputs("shots[].release.", "measured", "motion", [
    ["travelM", "length", "Travel to release", "the travel to release", [1e-3, 1000], [0.02, 20]],
  ]),
  ...inputs("shots[].release.", "number", "motion", [
    ["frame", "ratio", "Release at frame", "the frame of release", FRAMES, USUAL_FRAMES],
    [
      "uFrames",
      "ratio",
      "Within frames",
      "the uncertainty of the frame of release",
      [1e-6, 1e6],
      [0.01, 1e4],
    ],
  ]),
];
