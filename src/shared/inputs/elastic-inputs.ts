import type { Input } from "./input.ts";
import { guess, type LauncherRows, launcherInputs } from "./launcher-rows.ts";
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

const RATINGS: readonly Row[] = [
  [
    "stretchLimit",
    "ratio",
    "Greatest stretch over free length",
    "the greatest stretch of the line",
    [0.01, 20],
    // a bungee with a woven cover to bare rubber
    [0.2, 8],
  ],
  [
    "anchorRatedLoadN",
    "force",
    "Rated load of the anchor",
    "the rated load of the anchor",
    [1e-3, 1e9],
    [1, 1e6],
  ],
  [
    "endStop.ratedLoadN",
    "force",
    "Rated load of the weakest joint there",
    "the rated load of the carriage's stop",
    [1e-3, 1e9],
    [1, 1e6],
  ],
];

/** How far the line is drawn out: set for each shot. */
export const ELASTIC_DRAW = {
  drawM: {
    kind: "distance",
    label: "Drawn out by",
    words: "the draw",
    about: "m, extension of the line at the start of the shot",
    value: "above-zero",
    possible: [1e-3, 1000],
    plausible: [0.02, 150],
    hint: "Beyond its length at rest.",
    guess: guess(5),
  },
} satisfies LauncherRows;

/** Where the line pulls to. */
export const ELASTIC_PULL = {
  angleRad: {
    kind: "angle",
    label: "Pull above horizontal",
    words: "the angle of the pull",
    about: "rad, pull above the horizontal",
    value: "any",
    possible: [-1.5708, 1.5708],
    plausible: [-0.5, 1.5708],
    guess: { value: Math.PI / 12, u: 0.1 },
  },
} satisfies LauncherRows;

/** How far the line is from its table. */
export const ELASTIC_SCALE = {
  forceScale: {
    kind: "ratio",
    label: "Force, times the table",
    words: "the force scale",
    about: "1, force of the line over the table; its u is the table's common uncertainty",
    value: "above-zero",
    possible: [1e-3, 1000],
    plausible: [0.2, 5],
    hint: "1 as measured; its ± is what the spring balance and the day's cold or warmth leave open.",
    guess: { value: 1, u: 0.33 },
  },
} satisfies LauncherRows;

/** What the line moves. */
export const ELASTIC_LOAD = {
  lineMassKg: {
    kind: "mass",
    label: "One line, stretched part",
    words: "the mass of one line",
    about: "kg, one line, stretched part",
    value: "zero-or-more",
    possible: [0, 100],
    plausible: [0, 10],
    hint: "A third of it moves with the airframe.",
    guess: guess(0.1),
  },
  carriageKg: {
    kind: "mass",
    label: "Carriage that stays behind",
    words: "the mass of the carriage",
    about: "kg, carriage or cradle that moves with the airframe and stays on the launcher",
    value: "zero-or-more",
    possible: [0, 1000],
    plausible: [0, 50],
    guess: { value: 0, u: 0.05 },
  },
  slidingN: {
    kind: "force",
    label: "Friction while moving",
    words: "the friction",
    about: "N, constant friction while moving",
    value: "zero-or-more",
    possible: [0, 1e6],
    plausible: [0, 500],
    guess: guess(2, 0.5),
  },
} satisfies LauncherRows;

/** What its stretch is counted by. */
export const ELASTIC_LENGTH = {
  freeLengthM: {
    kind: "distance",
    label: "Free length of one line",
    words: "the free length of one line",
    about: "m, length at rest of the part of one line that stretches; left out when unknown",
    value: "above-zero",
    possible: [1e-3, 1000],
    plausible: [0.01, 150],
    hint: "At rest, of the part that stretches.",
  },
} satisfies LauncherRows;

/** Everything typed of a launcher with an elastic line. */
export const ELASTIC_INPUTS: readonly Input[] = [
  ...launcherInputs(ELASTIC, ELASTIC_DRAW, false),
  ...launcherInputs(ELASTIC, { ...ELASTIC_PULL, ...ELASTIC_SCALE, ...ELASTIC_LOAD }, true),
  ...launcherInputs(ELASTIC, ELASTIC_LENGTH, false),
  ...inputs(
    "launcher.",
    "measured",
    "model",
    [
      [
        "endStop.bufferTravelM",
        "small-length",
        "Buffer's travel until it stops",
        "the buffer's travel",
        [1e-5, 10],
        [5e-4, 2],
      ],
    ],
    { of: ELASTIC },
  ),
  ...inputs(
    "launcher.",
    "number",
    "model",
    [...tableRows("loading"), ...tableRows("unloading"), ...RATINGS],
    { of: ELASTIC },
  ),
  ...inputs(
    "launcher.",
    "whole",
    "model",
    [["lines", "count", "Lines side by side", "the number of lines", [1, 20], [1, 20]]],
    { of: ELASTIC },
  ),
];
