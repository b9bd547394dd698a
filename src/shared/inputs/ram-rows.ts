import { guess, type LauncherRows } from "./launcher-rows.ts";

/*
 * What a compressed-air ram states of itself, by the groups of its form. Its parts that may be there or not,
 * valves, rod side, filling, are in `ram-inputs.ts`.
 */

export const MOST_CONDUCTANCE = 2e-5; // m³/(s·Pa): an open bore of 11 cm

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
