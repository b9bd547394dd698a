import { type Input, MEMORY } from "./input.ts";
import { launcherInputs } from "./launcher-rows.ts";
import {
  MOST_CONDUCTANCE,
  RAM_CYLINDER,
  RAM_FEED,
  RAM_FRICTION,
  RAM_LEAK,
  RAM_MOVING,
  RAM_OPENING,
  RAM_SEAT,
  RAM_TANK,
} from "./ram-rows.ts";
import { inputs, type Row } from "./rows.ts";

const RAM = "compressed-air-ram";
const THIN_PIPE = `${MEMORY}: C is about 0.16 dm³/(s·bar) for each mm² of d², so from a 1 mm jet to a 50 mm diaphragm valve`;
const ISO_VALVES = `${MEMORY}: catalogues after ISO 6358 give 0.1 to 0.5`;

const valveRows = (at: string, words: (what: string) => string): readonly Row[] => [
  [
    `${at}.conductance`,
    "conductance",
    "Sonic conductance C",
    words("sonic conductance"),
    [1e-12, MOST_CONDUCTANCE],
    [5e-10, 5e-6],
    THIN_PIPE,
  ],
  [
    `${at}.criticalRatio`,
    "ratio",
    "Critical pressure ratio b",
    words("critical pressure ratio"),
    [0, 0.9999],
    [0, 0.8],
    ISO_VALVES,
  ],
];

/** Everything typed of a compressed-air ram. */
export const RAM_INPUTS: readonly Input[] = [
  ...launcherInputs(RAM, { ...RAM_TANK, ...RAM_CYLINDER }, true),
  ...inputs("launcher.", "measured", "model", [...valveRows("valve", (what) => `the valve's ${what}`)], {
    of: RAM,
    tunable: true,
  }),
  ...launcherInputs(RAM, { ...RAM_OPENING, ...RAM_MOVING, ...RAM_FRICTION }, true),
  ...inputs(
    "launcher.",
    "measured",
    "model",
    [
      [
        "rodChamber.rodDiameterM",
        "small-length",
        "Rod diameter",
        "the rod diameter",
        [1e-4, 1],
        [0.002, 0.2],
      ],
      [
        "rodChamber.volumeM3",
        "small-volume",
        "Volume left at the stroke's end",
        "the volume left on the rod side",
        [1e-9, 1],
        [1e-7, 0.02],
      ],
      ...valveRows("rodChamber.vent", (what) => `the vent's ${what}`),
      [
        "polytropicExponent",
        "ratio",
        "Exponent of the gas",
        "the exponent of the gas",
        [1, 1.4],
        [1, 1.4],
        "1 is isothermal, 1.4 adiabatic: an exponent outside that range is not one of air",
      ],
      ...valveRows("moreValves[].valve", (what) => `the ${what} of further valve #1`),
      [
        "moreValves[].openingS",
        "time",
        "Time to open fully",
        "the opening time of further valve #1",
        [0, 10],
        [0, 1],
      ],
      [
        "moreValves[].delayS",
        "time",
        "Starts after the first by",
        "the delay of further valve #1",
        [0, 10],
        [0, 2],
      ],
    ],
    { of: RAM, tunable: true },
  ),
  ...launcherInputs(RAM, { ...RAM_LEAK, ...RAM_FEED }, true),
  ...launcherInputs(RAM, RAM_SEAT, false),
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
        [5e-4, 1],
      ],
      [
        "fill.strokeVolumeM3",
        "small-volume",
        "Air drawn in by a stroke",
        "the stroke volume of the pump",
        [1e-8, 1],
        [1e-6, 0.01],
      ],
      [
        "fill.clearanceM3",
        "small-volume",
        "Left in the pump at a stroke's end",
        "the clearance of the pump",
        [0, 1],
        [0, 1e-3],
      ],
      ["fill.strokesPerS", "strokes", "Strokes", "the strokes of the pump", [1e-4, 1000], [0.05, 10]],
      [
        "fill.freeAirM3PerS",
        "free-air",
        "Free air delivered",
        "the free air of the compressor",
        [1e-9, 10],
        [1e-6, 0.1],
      ],
    ],
    { of: RAM },
  ),
  ...inputs(
    "launcher.",
    "number",
    "model",
    [
      [
        "tankRatingPa",
        "pressure",
        "Maker's rating, weakest part",
        "the tank's rating",
        [1, 1e9],
        [5e4, 4e7],
        `${MEMORY}: from plastic bottles to 300 bar cylinders`,
      ],
      [
        "ratingShare",
        "ratio",
        "Left of it by temperature and age",
        "the share of the rating that is left",
        [0.01, 1],
        [0.1, 1],
        "a rating can only be lowered",
      ],
      [
        "reliefPa",
        "pressure",
        "Relief valve opens at",
        "the relief valve's set point",
        [1, 1e9],
        [5e4, 4e7],
        `${MEMORY}: as the ratings`,
      ],
      [
        "endStop.ratedLoadN",
        "force",
        "Rated load of the weakest joint there",
        "the rated load of the end stop",
        [1e-3, 1e9],
        [1, 1e6],
      ],
      [
        "baseRatedLoadN",
        "force",
        "Rated load of the base's fixings",
        "the rated load of the base's fixings",
        [1e-3, 1e9],
        [1, 1e6],
      ],
    ],
    { of: RAM },
  ),
];
