import { type Input, MEMORY } from "./input.ts";
import { inputs, type Row } from "./rows.ts";

const CAMERAS = `${MEMORY}: from film at 12 to high-speed cameras at a million frames/s`;
const SENSORS = `${MEMORY}: rolling shutters take 2 to 40 ms`;
const LENSES = `${MEMORY}: published calibrations, with room`;

const BROWN: readonly Row[] = [
  ["k1", "ratio", "k1", "the lens coefficient k1", [-100, 100], [-3, 3], LENSES],
  ["k2", "ratio", "k2", "the lens coefficient k2", [-1e4, 1e4], [-30, 30], LENSES],
  ["k3", "ratio", "k3", "the lens coefficient k3", [-1e6, 1e6], [-300, 300], LENSES],
  ["p1", "ratio", "p1", "the lens coefficient p1", [-10, 10], [-0.3, 0.3], LENSES],
  ["p2", "ratio", "p2", "the lens coefficient p2", [-10, 10], [-0.3, 0.3], LENSES],
];

/** The cameras, the clock of a shot and what checks it. */
export const CAMERA_INPUTS: readonly Input[] = [
  ...inputs("cameras[].", "measured", "clock", [
    ["captureRateHz", "rate", "Capture rate", "the camera's capture rate", [0.1, 1e8], [10, 1e6], CAMERAS],
    [
      "readoutS",
      "time",
      "Readout, top to bottom",
      "the camera's readout time",
      [-1, 1],
      [-0.1, 0.1],
      SENSORS,
    ],
  ]),
  ...inputs("cameras[].", "number", "clock", [
    [
      "exposureS",
      "per-second",
      "Exposure",
      "the exposure of a frame",
      [1e-9, 10],
      [1e-7, 0.05],
      `${MEMORY}: shutters from 1/20 s to a strobe`,
    ],
  ]),
  ...inputs("cameras[].lens.", "number", "scale", [
    ["focalPx", "pixels", "Focal length", "the focal length", [1, 1e7], [50, 1e6], LENSES],
    [
      "centrePx[0]",
      "pixels",
      "Lens centre, across",
      "the lens centre across the picture",
      [-1e5, 1e5],
      [-2e4, 2e4],
      LENSES,
    ],
    [
      "centrePx[1]",
      "pixels",
      "Lens centre, down",
      "the lens centre down the picture",
      [-1e5, 1e5],
      [-2e4, 2e4],
      LENSES,
    ],
    [
      "picturePx[0]",
      "pixels",
      "Picture width",
      "the width of the picture the lens holds for",
      [2, 1e5],
      [64, 2e4],
    ],
    [
      "picturePx[1]",
      "pixels",
      "Picture height",
      "the height of the picture the lens holds for",
      [2, 1e5],
      [64, 2e4],
    ],
    ...BROWN,
    [
      "covariance[]",
      "ratio",
      "Covariance of the lens",
      "a number of the lens's covariance",
      [-1e12, 1e12],
      [-1e10, 1e10],
    ],
    ["madeFrom.leftPx", "pixels", "Left by the fit", "what the lens's fit left", [0, 1e5], [0, 100]],
  ]),
  ...inputs("cameras[].lens.madeFrom.", "whole", "scale", [
    ["points", "count", "Points", "the number of points of the lens's fit", [0, 1e7], [0, 1e6]],
  ]),
  ...inputs("shots[].clock.", "measured", "clock", [
    ["captureRateHz", "rate", "Capture rate", "the capture rate", [0.1, 1e8], [10, 1e6], CAMERAS],
    [
      "parts[].captureRateHz",
      "rate",
      "Capture rate of a part",
      "the capture rate after border #2 of the clip",
      [0.1, 1e8],
      [10, 1e6],
      CAMERAS,
    ],
    ["parts[].from", "count", "From frame", "the frame of border #2 of the clip", [1e-3, 1e8], [1, 1e7]],
    [
      "rateError",
      "parts-per-million",
      "Error of the file's clock",
      "the error of the file's clock",
      [-0.5, 0.5],
      [-0.01, 0.01],
      `${MEMORY}: quartz is good to 1e-4, a camera's nominal rate to 1e-3`,
    ],
  ]),
  ...inputs("shots[].clock.", "whole", "clock", [
    ["repeats.frames[]", "whole-frames", "Repeated frame", "a repeated frame", [1, 1e8], [1, 1e7]],
    ["gaps[].afterFrame", "whole-frames", "Frame before a gap", "the frame before a gap", [0, 1e8], [0, 1e7]],
    ["gaps[].missing", "whole-frames", "Missing frames", "the frames missing in a gap", [1, 1e7], [1, 1e5]],
  ]),
  ...inputs("shots[].lamp.", "measured", "clock", [
    [
      "intervalS",
      "time",
      "Time between changes",
      "the time between two changes of the lamp",
      [1e-7, 1000],
      [1e-5, 10],
    ],
  ]),
  ...inputs("shots[].lamp.", "whole", "clock", [
    ["frames[]", "whole-frames", "First frame of a change", "a frame of the lamp", [0, 1e8], [0, 1e7]],
  ]),
  ...inputs("shots[].ball.", "measured", "clock", [
    ["massKg", "mass", "Mass", "the mass of the dropped object", [1e-7, 1000], [1e-5, 20]],
    ["diameterM", "small-length", "Diameter", "the diameter of the dropped object", [1e-5, 10], [5e-4, 1]],
    [
      "dragCoefficient",
      "ratio",
      "Drag coefficient",
      "the drag coefficient of the dropped object",
      [1e-4, 100],
      [0.05, 3],
      `${MEMORY}: sphere 0.1 to 0.5, plate 1.2`,
    ],
  ]),
  ...inputs("site.", "number", "clock", [
    ["latitudeRad", "angle", "Latitude", "the latitude of the field", [-1.5708, 1.5708], [-1.5708, 1.5708]],
    [
      "heightM",
      "metres",
      "Height above sea level",
      "the height of the field",
      [-1000, 20_000],
      [-430, 6000],
      `${MEMORY}: Dead Sea shore to the highest roads`,
    ],
  ]),
];
