import { type Input, MEMORY } from "./input.ts";
import { guess, type LauncherRows, launcherInputs } from "./launcher-rows.ts";
import { inputs, type Row } from "./rows.ts";

const RAM = "compressed-air-ram";
const THIN_PIPE = `${MEMORY}: C is about 0.16 dm³/(s·bar) for each mm² of d², so from a 1 mm jet to a 50 mm diaphragm valve`;
const ISO_VALVES = `${MEMORY}: catalogues after ISO 6358 give 0.1 to 0.5`;
const MOST_CONDUCTANCE = 2e-5; // m³/(s·Pa): an open bore of 11 cm

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

/** The tank. */
export const RAM_TANK = {
  tankVolumeM3: {
    kind: "volume",
    label: "Tank volume, with the pipe to the valve",
    words: "the tank volume",
    about: "m³, tank volume with the pipe up to the valve",
    value: "above-zero",
    possible: [1e-7, 10],
    plausible: [1e-5, 0.5],
    guess: guess(0.003),
  },
} satisfies LauncherRows;

/** The cylinder. */
export const RAM_CYLINDER = {
  boreM: {
    kind: "small-length",
    label: "Bore",
    words: "the bore",
    about: "m, cylinder bore",
    value: "above-zero",
    possible: [5e-4, 1],
    plausible: [0.004, 0.3],
    guess: guess(0.032),
  },
  strokeM: {
    kind: "length",
    label: "Stroke, to the stop",
    words: "the stroke",
    about: "m, travel of the ram from rest to its end",
    value: "above-zero",
    possible: [1e-3, 50],
    plausible: [0.02, 8],
    guess: guess(0.8),
  },
  deadVolumeM3: {
    kind: "small-volume",
    label: "Dead volume, valve to piston",
    words: "the dead volume",
    about: "m³, volume between valve and piston at rest",
    value: "above-zero",
    possible: [1e-9, 1],
    plausible: [1e-7, 0.02],
    guess: guess(0.0001, 0.5),
  },
} satisfies LauncherRows;

/** How the first valve opens. */
export const RAM_OPENING = {
  openingS: {
    kind: "time",
    label: "Time to open fully",
    words: "the valve's opening time",
    about: "s, time the valve takes to open fully (linear in flow area); 0 for instant",
    value: "zero-or-more",
    possible: [0, 10],
    plausible: [0, 1],
    guess: guess(0.01, 0.5),
  },
} satisfies LauncherRows;

/** What moves, and where to. */
export const RAM_MOVING = {
  movingMassKg: {
    kind: "mass",
    label: "Piston, rod and cradle",
    words: "the mass of piston, rod and cradle",
    about: "kg, piston, rod and cradle that move with the airframe",
    value: "zero-or-more",
    possible: [0, 1000],
    plausible: [0, 50],
    guess: guess(0.3),
  },
  angleRad: {
    kind: "angle",
    label: "Push direction above horizontal",
    words: "the push direction",
    about: "rad, push direction above the horizontal",
    value: "any",
    possible: [-1.5708, 1.5708],
    plausible: [-0.3, 1.5708],
    guess: { value: Math.PI / 6, u: 0.1 },
  },
} satisfies LauncherRows;

/** What holds the ram back. */
export const RAM_FRICTION = {
  breakawayN: {
    kind: "force",
    label: "Break-away",
    words: "the break-away friction",
    about: "N, friction to overcome before motion starts",
    value: "zero-or-more",
    possible: [0, 1e6],
    plausible: [0, 3000],
    guess: guess(10, 0.5),
  },
  slidingN: {
    kind: "force",
    label: "Sliding",
    words: "the sliding friction",
    about: "N, constant friction while moving",
    value: "zero-or-more",
    possible: [0, 1e6],
    plausible: [0, 3000],
    guess: guess(5, 0.5),
  },
  viscousNsPerM: {
    kind: "viscous",
    label: "Growing with speed",
    words: "the friction growing with speed",
    about: "N·s/m, friction proportional to speed",
    value: "zero-or-more",
    possible: [0, 1e5],
    plausible: [0, 500],
    guess: { value: 0, u: 1 },
  },
  sealShare: {
    kind: "ratio",
    label: "Growing with pressure",
    words: "the seals' share of the push",
    about: "1, friction of seals that the pressure presses on, as a share of its force on the piston",
    value: "zero-or-more",
    possible: [0, 0.95],
    plausible: [0, 0.3],
    hint: "Of the pressure's force on the piston; lip seals take 0.03 to 0.15. Empty for none.",
  },
  stribeckMPerS: {
    kind: "speed",
    label: "Speed at which break-away fades",
    words: "the speed at which break-away friction fades",
    about:
      "m/s, Stribeck speed: what break-away has above sliding falls with the speed v as exp(-(v/it)^2); 0 for at once",
    value: "zero-or-more",
    possible: [0, 100],
    plausible: [0, 3],
    hint: "At it a third is left of what break-away has above sliding. Empty where it falls at once.",
  },
} satisfies LauncherRows;

/** How the airframe sits on what pushes it: none bears on the push, all on how it pitches. */
export const RAM_SEAT = {
  pushBelowM: {
    kind: "small-length",
    label: "Push line below the balance point",
    words: "the push line's distance below the balance point",
    about: "m, by which the line of the push passes below the balance point; below 0 where it passes above",
    value: "any",
    possible: [-5, 5],
    plausible: [-0.2, 0.2],
    hint: "Below 0 where it passes above it. A push below pitches the nose up.",
  },
  cradleStiffness: {
    kind: "turning-stiffness",
    label: "Stiffness of the cradle in pitch",
    words: "the cradle's stiffness in pitch",
    about: "N m/rad, moment with which the cradle holds the airframe's pitch",
    value: "zero-or-more",
    possible: [0, 1e7],
    plausible: [0, 2e4],
    hint: "Pull at the tail with a spring balance and see by how much it turns; 0 where it may turn freely.",
  },
  cradleDamping: {
    kind: "turning-damping",
    label: "Damping of the cradle in pitch",
    words: "the cradle's damping in pitch",
    about: "N m s/rad, moment with which the cradle opposes the airframe's pitching",
    value: "zero-or-more",
    possible: [0, 1e5],
    plausible: [0, 20],
    hint: "0 for none; foam under the airframe gives some.",
  },
  lastSupportM: {
    kind: "length",
    label: "Travel on the last support alone",
    words: "the travel on the last support alone",
    about: "m, last of the stroke over which one support alone carries the airframe",
    value: "zero-or-more",
    possible: [0, 20],
    plausible: [0, 2],
    hint: "Empty where all supports let go at once.",
  },
  lastSupportBehindM: {
    kind: "small-length",
    label: "Last support behind the balance point",
    words: "the last support's distance behind the balance point",
    about: "m, place of the last support behind the balance point; below 0 ahead of it",
    value: "any",
    possible: [-5, 5],
    plausible: [-1, 1],
    hint: "Below 0 where it is ahead of it.",
  },
} satisfies LauncherRows;

/** What passes the piston. */
export const RAM_LEAK = {
  leak: {
    kind: "conductance",
    label: "Sonic conductance of the gap",
    words: "the leak past the piston",
    about:
      "m³/(s·Pa), sonic conductance of the gap past the piston, from the drive chamber to the air outside",
    value: "zero-or-more",
    possible: [0, MOST_CONDUCTANCE],
    plausible: [0, 1e-7],
    hint: "From the drive chamber to the air outside; empty for none.",
  },
} satisfies LauncherRows;

/** What keeps filling the tank while it is shot from. */
export const RAM_FEED = {
  supplyGaugePa: {
    kind: "pressure",
    label: "Supply's pressure, held by its regulator",
    words: "the supply's pressure",
    about: "Pa above the air outside, constant pressure of what feeds the tank during the shot",
    value: "zero-or-more",
    possible: [0, 1e9],
    plausible: [0, 4e7],
    hint: "Above the air outside; empty where nothing feeds the tank during the shot.",
  },
  feedConductance: {
    kind: "conductance",
    label: "Sonic conductance from it to the tank",
    words: "the feed's sonic conductance",
    about: "m³/(s·Pa), sonic conductance from the supply to the tank, past a valve that lets nothing back",
    value: "zero-or-more",
    possible: [0, MOST_CONDUCTANCE],
    plausible: [0, 5e-6],
    hint: "Of regulator and hose together.",
  },
} satisfies LauncherRows;

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
