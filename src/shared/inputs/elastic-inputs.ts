import type { Input } from "./input.ts";
import { inputs, type Row } from "./rows.ts";

const ELASTIC = "elastic-line";

const tableRows = (at: string): readonly Row[] => [
  [
    `${at}[][0]`,
    "distance",
    "Extension",
    `the extension at point #1 of the ${at} table`,
    [0, 1000],
    [0, 150],
  ],
  [`${at}[][1]`, "force", "Force", `the force at point #1 of the ${at} table`, [0, 1e6], [0, 5000]],
];

/** Everything typed of a launcher with an elastic line. */
export const ELASTIC_INPUTS: readonly Input[] = [
  ...inputs(
    "launcher.",
    "measured",
    "model",
    // Set for each shot.
    [["drawM", "distance", "Drawn out by", "the draw", [1e-3, 1000], [0.02, 150]]],
    { of: ELASTIC },
  ),
  ...inputs(
    "launcher.",
    "measured",
    "model",
    [
      [
        "angleRad",
        "angle",
        "Pull above horizontal",
        "the angle of the pull",
        [-1.5708, 1.5708],
        [-0.5, 1.5708],
      ],
      ["forceScale", "ratio", "Force, times the table", "the force scale", [1e-3, 1000], [0.2, 5]],
      ["lineMassKg", "mass", "One line, stretched part", "the mass of one line", [0, 100], [0, 10]],
      ["carriageKg", "mass", "Carriage that stays behind", "the mass of the carriage", [0, 1000], [0, 50]],
      ["slidingN", "force", "Friction while moving", "the friction", [0, 1e6], [0, 500]],
    ],
    { of: ELASTIC, tunable: true },
  ),
  ...inputs("launcher.", "number", "model", [...tableRows("loading"), ...tableRows("unloading")], {
    of: ELASTIC,
  }),
  ...inputs(
    "launcher.",
    "whole",
    "model",
    [["lines", "count", "Lines side by side", "the number of lines", [1, 20], [1, 20]]],
    { of: ELASTIC },
  ),
];
