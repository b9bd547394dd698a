import { describe, expect, it } from "vitest";
import { INPUTS } from "../../../src/shared/inputs/all-inputs.ts";
import type { Input, LauncherKind } from "../../../src/shared/inputs/input.ts";
import { judgeInput } from "../../../src/shared/inputs/judge-input.ts";

/** One of each unit in SI, so that the ranges stand here as a person would say them. */
const SI = {
  "1": 1,
  mm: 1e-3,
  m: 1,
  g: 1e-3,
  kg: 1,
  cm2: 1e-4,
  m2: 1,
  mL: 1e-6,
  L: 1e-3,
  "dm3/(s bar)": 1e-8,
  ms: 1e-3,
  s: 1,
  N: 1,
  kN: 1e3,
  bar: 1e5,
  hPa: 100,
  K: 1,
  quarter: 1.5708, // a quarter turn, rounded up so that 90° typed is inside
  rad: 1,
  "m/s": 1,
} as const;
type Ends = readonly [number, number];
type Line = readonly [paths: string, unit: keyof typeof SI, possible: Ends, plausible: Ends];

const VALVE = ["launcher.valve", "launcher.rodChamber.vent", "launcher.moreValves[].valve"];
const pair = (path: string) => `${path}[0] ${path}[1]`;
const ends = (part: string, a: string, b: string) => `${pair(`${part}.${a}`)} ${pair(`${part}.${b}`)}`;
const frames = (part: string, a: string, b: string) => `${part}.${a}Frame ${part}.${b}Frame`;
const RODS = ["shots[].scale", "shots[].rods[]"];

/**
 * What can be, and what is usual, of each number that a person types, in the unit it is said in, with the
 * reason for the usual range above it. Those of one launcher are listed with its kind.
 */
const ANYWHERE: readonly Line[] = [
  // from a paper dart to the heaviest airframe flown as a model in most countries, with room
  ["airframe.massKg", "g", [0.1, 1e6], [5, 100_000]],
  // from a hand-launched micro glider to a large model's
  ["airframe.wingAreaM2", "cm2", [0.01, 1e6], [10, 100_000]],
  // a flat plate at a few degrees to a slotted, flapped wing in the jet of its propeller
  ["airframe.liftCoefficientMax", "1", [0.01, 20], [0.2, 5]],
  // level flight to the rating of electronics that are shot from guns
  ["airframe.loadLimitG", "1", [0.01, 1e6], [1, 2000]],
  ["airframe.dragAreaM2", "cm2", [1e-5, 1e6], [0.1, 20_000]],
  // 2π a radian is the thin wing's bound; a low aspect ratio gives a tenth of it
  ["airframe.liftSlopePerRad", "1", [0.01, 100], [0.5, 8]],
  ["airframe.meanChordM", "mm", [0.1, 10_000], [10, 2000]],
  // 5 g with a radius of gyration of 15 mm, to 100 kg with one of 1 m
  ["airframe.pitchInertiaKgM2 airframe.yawInertiaKgM2", "1", [1e-10, 1e5], [1e-6, 100]],
  // from a stick to the fuselage of the largest models
  ["airframe.bodyDiameterM", "mm", [1, 10_000], [10, 1000]],
  // ahead of the balance point where something is wrong, behind it by no more than the longest bodies
  ["airframe.pressureBehindM", "m", [-20, 20], [-1, 3]],
  // from any reference on the airframe, its nose or a mark ahead of it included
  ["airframe.centreOfGravity.alongM", "m", [-20, 20], [-3, 5]],
  ["airframe.centreOfGravity.aboveM points[].body.upM", "m", [-20, 20], [-2, 2]],
  ["points[].body.forwardM", "m", [-20, 20], [-5, 5]],
  ["airframe.centreOfGravity.apartM", "m", [1e-4, 20], [0.01, 10]],
  // film at ten frames a second to the fastest cameras sold
  [
    "cameras[].captureRateHz shots[].clock.captureRateHz shots[].clock.parts[].captureRateHz",
    "1",
    [0.1, 1e8],
    [10, 1e6],
  ],
  // negative: read from the bottom upwards
  ["cameras[].readoutS", "ms", [-1000, 1000], [-100, 100]],
  // 1/10 000 000 s to 1/20 s
  ["cameras[].exposureS", "s", [1e-9, 10], [1e-7, 0.05]],
  ["cameras[].lens.focalPx", "1", [1, 1e7], [50, 1e6]],
  [pair("cameras[].lens.centrePx"), "1", [-1e5, 1e5], [-20_000, 20_000]],
  [pair("cameras[].lens.picturePx"), "1", [2, 1e5], [64, 20_000]],
  // each order of the radius may be ten times the one before
  ["cameras[].lens.k1", "1", [-100, 100], [-3, 3]],
  ["cameras[].lens.k2", "1", [-1e4, 1e4], [-30, 30]],
  ["cameras[].lens.k3", "1", [-1e6, 1e6], [-300, 300]],
  ["cameras[].lens.p1 cameras[].lens.p2", "1", [-10, 10], [-0.3, 0.3]],
  ["cameras[].lens.covariance[]", "1", [-1e12, 1e12], [-1e10, 1e10]],
  ["cameras[].lens.madeFrom.leftPx", "1", [0, 1e5], [0, 100]],
  ["cameras[].lens.madeFrom.points", "1", [0, 1e7], [0, 1e6]],
  // a clock wrong by a percent is a wrong rate, not a wrong clock
  ["shots[].clock.rateError", "1", [-0.5, 0.5], [-0.01, 0.01]],
  // a border may lie within the step between two frames
  ["shots[].clock.parts[].from", "1", [1e-3, 1e8], [1, 1e7]],
  ["shots[].clock.repeats.frames[]", "1", [1, 1e8], [1, 1e7]],
  ["shots[].clock.gaps[].missing", "1", [1, 1e7], [1, 1e5]],
  ["shots[].lamp.intervalS", "ms", [1e-4, 1e6], [0.01, 10_000]],
  // a bead to a bowling ball; a sphere's drag is 0.1 to 0.5, a shuttlecock's 0.6, a chute's 1.5
  ["shots[].ball.massKg", "g", [1e-4, 1e6], [0.01, 20_000]],
  ["shots[].ball.diameterM", "mm", [0.01, 10_000], [0.5, 1000]],
  ["shots[].ball.dragCoefficient", "1", [1e-4, 100], [0.05, 3]],
  // pole to pole, so nothing possible is odd
  ["site.latitudeRad", "quarter", [-1, 1], [-1, 1]],
  // the shore of the Dead Sea to the highest roads
  ["site.heightM", "m", [-1000, 20_000], [-430, 6000]],
  [RODS.map((rod) => `${rod}.rodM`).join(" "), "m", [1e-4, 1e4], [0.01, 100]],
  // a point may be extrapolated beyond the picture, but not by many of them
  [
    [
      ...RODS.map((rod) => ends(rod, "a", "b")),
      ends("shots[].plumb", "top", "bottom"),
      ends("shots[].level", "left", "right"),
      pair("shots[].control.points[].at"),
      "shots[].marks[].x shots[].marks[].y",
    ].join(" "),
    "1",
    [-1e6, 1e6],
    [-20_000, 20_000],
  ],
  // an edge fitted over many pixels to a blur as wide as the airframe
  [
    [...RODS, "shots[].plumb", "shots[].level", "shots[].control"]
      .map((part) => `${part}.uPx`)
      .concat("shots[].marks[].u")
      .join(" "),
    "1",
    [1e-4, 1e5],
    [0.005, 100],
  ],
  // an hour at a thousand frames a second is under four million
  [
    [
      ...RODS.map((rod) => frames(rod, "a", "b")),
      frames("shots[].plumb", "top", "bottom"),
      frames("shots[].level", "left", "right"),
      "shots[].control.points[].frame shots[].marks[].frame shots[].release.frame",
      "shots[].lamp.frames[] shots[].clock.gaps[].afterFrame",
    ].join(" "),
    "1",
    [0, 1e8],
    [0, 1e7],
  ],
  // a line hangs within some degrees, whatever the wind
  ["shots[].plumb.hangRad shots[].level.tiltRad", "rad", [0, 1.5708], [0, 0.2]],
  ["shots[].control.uM", "m", [0, 1000], [0, 1]],
  ["shots[].control.points[].xM shots[].control.points[].yM", "m", [-1e4, 1e4], [-500, 500]],
  ["shots[].setting.distanceM", "m", [1e-3, 1e5], [0.1, 500]],
  ["shots[].setting.nearerM", "m", [-1e5, 1e5], [-100, 100]],
  // beyond 60° a plane is hardly seen
  ["shots[].setting.turnRad", "rad", [-1.5708, 1.5708], [-1.05, 1.05]],
  ["shots[].release.uFrames", "1", [1e-6, 1e6], [0.01, 1e4]],
  // from a slingshot's few centimetres to the longest rail that is carried to a field
  ["shots[].release.travelM", "m", [1e-3, 1000], [0.02, 20]],
  // a gauge may show a little below air; the greatest is a 400 bar cylinder's
  ["shots[].conditions.gaugePressurePa", "bar", [-2, 1000], [-0.2, 400]],
  // −40 °C to 55 °C, rounded outwards to whole kelvin
  ["shots[].conditions.temperatureK", "K", [150, 400], [233, 328]],
  // cold after a shot, hot when filled fast
  ["shots[].conditions.tankTemperatureK", "K", [150, 500], [233, 350]],
  // 5500 m up to the highest pressure recorded at sea level, with room
  ["shots[].conditions.airPressurePa", "hPa", [100, 2000], [500, 1100]],
  // Beaufort 11 is over 28 m/s
  ["shots[].conditions.crosswindMPerS", "m/s", [-150, 150], [-30, 30]],
  ["shots[].conditions.headwindMPerS", "m/s", [-150, 150], [-30, 30]],
  ["shots[].conditions.gustMPerS", "m/s", [0, 150], [0, 35]],
  ["shots[].conditions.releaseHeightM", "m", [0, 1e4], [0, 200]],
  // from a garden to what a field is surveyed for
  ["shots[].conditions.clearM", "m", [0.1, 1e5], [5, 2000]],
  ["shots[].altimeter.apogeeM", "m", [1e-3, 1e5], [1, 5000]],
  // walking pace to just short of sound
  ["nextShot.speedMPerS", "m/s", [1e-3, 3000], [0.5, 300]],
  ["nextShot.leastStallMargin", "1", [0.01, 1000], [0.3, 10]],
  ["shots[].log.untilS", "s", [0.01, 1000], [0.05, 60]],
  ["nextShot.cardMassesKg[]", "kg", [1e-4, 1000], [0.005, 100]],
  ["tuning.tuned.scatter", "1", [0, 100], [0, 1]],
  // 1 and what rounding adds
  ["tuning.tuned.correlation[][]", "1", [-1.000001, 1.000001], [-1.000001, 1.000001]],
  ["tuning.tuned.shotCount", "1", [1, 1e6], [1, 1e5]],
];

const RAM: readonly Line[] = [
  // a syringe to a compressor's tank of half a cubic metre
  ["launcher.tankVolumeM3", "L", [1e-4, 10_000], [0.01, 500]],
  ["launcher.boreM", "mm", [0.5, 1000], [4, 300]],
  ["launcher.strokeM", "mm", [1, 50_000], [20, 8000]],
  ["launcher.deadVolumeM3 launcher.rodChamber.volumeM3", "mL", [1e-3, 1e6], [0.1, 20_000]],
  // C is about 0.16 dm³/(s·bar) a square millimetre: a 2 mm needle valve to a 60 mm port
  [VALVE.map((valve) => `${valve}.conductance`).join(" "), "dm3/(s bar)", [1e-4, 2000], [0.05, 500]],
  // 0.528 is a perfect nozzle; an orifice may not choke at all before vacuum
  [VALVE.map((valve) => `${valve}.criticalRatio`).join(" "), "1", [0, 0.9999], [0, 0.8]],
  ["launcher.openingS launcher.moreValves[].openingS", "ms", [0, 10_000], [0, 1000]],
  ["launcher.openingCurve[][0] launcher.openingCurve[][1]", "1", [0, 1], [0, 1]],
  ["launcher.moreValves[].delayS", "ms", [0, 10_000], [0, 2000]],
  ["launcher.movingMassKg", "kg", [0, 1000], [0, 50]],
  // a little downhill is usual on a slope, straight up too
  ["launcher.angleRad", "rad", [-1.5708, 1.5708], [-0.3, 1.5708]],
  ["launcher.breakawayN launcher.slidingN", "N", [0, 1e6], [0, 3000]],
  ["launcher.viscousNsPerM", "1", [0, 1e5], [0, 500]],
  // of the push; a seal that took all of it would let nothing move
  ["launcher.pushBelowM", "mm", [-5000, 5000], [-200, 200]],
  ["launcher.cradleStiffness", "1", [0, 1e7], [0, 2e4]],
  ["launcher.cradleDamping", "1", [0, 1e5], [0, 20]],
  ["launcher.lastSupportM", "mm", [0, 20_000], [0, 2000]],
  ["launcher.lastSupportBehindM", "mm", [-5000, 5000], [-1000, 1000]],
  ["launcher.supplyGaugePa", "bar", [0, 10_000], [0, 400]],
  ["launcher.feedConductance", "dm3/(s bar)", [0, 2000], [0, 500]],
  ["launcher.stribeckMPerS", "m/s", [0, 100], [0, 3]],
  ["launcher.sealShare", "1", [0, 0.95], [0, 0.3]],
  ["launcher.rodChamber.rodDiameterM", "mm", [0.1, 1000], [2, 200]],
  // isothermal to adiabatic: the limits are the physics
  ["launcher.polytropicExponent", "1", [1, 1.4], [1, 1.4]],
  ["launcher.leak", "dm3/(s bar)", [0, 2000], [0, 10]],
  ["launcher.endStop.bufferTravelM", "mm", [0.01, 10_000], [0.5, 1000]],
  ["launcher.fill.strokeVolumeM3", "mL", [0.01, 1e6], [1, 10_000]],
  ["launcher.fill.clearanceM3", "mL", [0, 1e6], [0, 1000]],
  // one stroke in twenty seconds to ten a second
  ["launcher.fill.strokesPerS", "1", [1e-4, 1000], [0.05, 10]],
  // 0.06 L/min to 6000 L/min
  ["launcher.fill.freeAirM3PerS", "L", [1e-6, 10_000], [1e-3, 100]],
  // half a bar of a drinks carton to a 400 bar cylinder
  ["launcher.tankRatingPa launcher.reliefPa", "bar", [1e-5, 10_000], [0.5, 400]],
  // a rating can only be lowered
  ["launcher.ratingShare", "1", [0.01, 1], [0.1, 1]],
  ["launcher.endStop.ratedLoadN launcher.baseRatedLoadN", "kN", [1e-6, 1e6], [1e-3, 1000]],
];

const MOTOR = "launcher.motors[].";
const ROCKET: readonly Line[] = [
  ["launcher.angleRad", "rad", [-1.5708, 1.5708], [-0.3, 1.5708]],
  ["launcher.railM", "m", [1e-3, 1000], [0.02, 20]],
  ["launcher.slidingN", "N", [0, 1e6], [0, 500]],
  ["launcher.boosterKg", "kg", [0, 1000], [0, 20]],
  // class A to class O: the classes double from 1.25 N·s to 40 960 N·s; a micro motor has a few hundredths
  [`${MOTOR}thrust.totalImpulseNs`, "1", [1e-3, 1e6], [0.05, 41_000]],
  [`${MOTOR}thrust.meanThrustN`, "N", [1e-3, 1e6], [0.1, 10_000]],
  [`${MOTOR}thrust.riseS ${MOTOR}thrust.fallS ${MOTOR}delayS`, "s", [0, 100], [0, 5]],
  [`${MOTOR}thrustScale`, "1", [1e-3, 1000], [0.2, 5]],
  // at 2 N·s a gram, 41 000 N·s are 20 kg
  [`${MOTOR}propellantKg`, "g", [1e-3, 1e6], [0.1, 25_000]],
  [`${MOTOR}aheadM`, "m", [-50, 50], [-3, 3]],
  [`${MOTOR}aboveM`, "m", [-50, 50], [-1, 1]],
  [`${MOTOR}rightM`, "m", [-50, 50], [-2, 2]],
  // short of square to the axis, where a motor no longer pushes
  [`${MOTOR}tiltUpRad ${MOTOR}tiltRightRad`, "rad", [-1.57, 1.57], [-0.8, 0.8]],
  [`${MOTOR}ejectionS`, "s", [1e-3, 1000], [0.1, 30]],
  [`${MOTOR}thrust.points[][0]`, "s", [0, 1000], [0, 120]],
  [`${MOTOR}thrust.points[][1]`, "N", [0, 1e6], [0, 20_000]],
];

const TABLES = ["launcher.loading", "launcher.unloading"];
const ELASTIC: readonly Line[] = [
  // rubber drawn out over a whole field
  ["launcher.drawM", "m", [1e-3, 1000], [0.02, 150]],
  ["launcher.angleRad", "rad", [-1.5708, 1.5708], [-0.5, 1.5708]],
  ["launcher.forceScale", "1", [1e-3, 1000], [0.2, 5]],
  ["launcher.lineMassKg", "kg", [0, 100], [0, 10]],
  ["launcher.carriageKg", "kg", [0, 1000], [0, 50]],
  ["launcher.slidingN", "N", [0, 1e6], [0, 500]],
  [TABLES.map((table) => `${table}[][0]`).join(" "), "m", [0, 1000], [0, 150]],
  [TABLES.map((table) => `${table}[][1]`).join(" "), "N", [0, 1e6], [0, 5000]],
  ["launcher.lines", "1", [1, 20], [1, 20]],
  ["launcher.freeLengthM", "m", [1e-3, 1000], [0.01, 150]],
  // a bungee with a woven cover to bare rubber
  ["launcher.stretchLimit", "1", [0.01, 20], [0.2, 8]],
  ["launcher.endStop.bufferTravelM", "mm", [0.01, 10_000], [0.5, 2000]],
  ["launcher.endStop.ratedLoadN launcher.anchorRatedLoadN", "kN", [1e-6, 1e6], [1e-3, 1000]],
];

const LINES: readonly (readonly [LauncherKind | null, readonly Line[]])[] = [
  [null, ANYWHERE],
  ["compressed-air-ram", RAM],
  ["rocket-boost", ROCKET],
  ["elastic-line", ELASTIC],
];
const said = LINES.flatMap(([of, lines]) =>
  lines.flatMap(([paths, unit, can, is]) => {
    const inSi = ([least, most]: Ends): Ends => [least * SI[unit], most * SI[unit]];
    const [possible, plausible] = [inSi(can), inSi(is)];
    return paths.split(" ").map((path) => ({ of, path, possible, plausible }));
  }),
);

describe("the range of every number that a person can type", () => {
  it("is said here once", () => {
    const names = ({ of, path }: { of: LauncherKind | null; path: string }) => `${of} ${path}`;
    expect(said.map(names).sort()).toEqual(INPUTS.map(names).sort());
  });

  it.each(said)(
    "passes up to both ends, is asked about beyond them and refused where it cannot be: $path",
    (row) => {
      const input = INPUTS.find(({ of, path }) => of === row.of && path === row.path) as Input;
      const state = (value: number, u: number | null = null) => judgeInput(input, value, u)?.state ?? "usual";
      for (const [end, side] of [
        [0, -1],
        [1, 1],
      ] as const) {
        const [possible, plausible] = [row.possible[end], row.plausible[end]];
        // A millionth of the end, or of the range where the end is 0.
        const beyond = (at: number, range: Ends, share: number) =>
          at + side * share * (at === 0 ? range[1] - range[0] : Math.abs(at));
        const same = possible === plausible;
        expect(state(beyond(plausible, row.plausible, -1e-9))).toBe("usual");
        expect(state(beyond(plausible, row.plausible, 1e-6))).toBe(same ? "impossible" : "odd");
        expect(state(beyond(possible, row.possible, -1e-9))).toBe(same ? "usual" : "odd");
        expect(state(beyond(possible, row.possible, 1e-6))).toBe("impossible");
      }
      // An uncertainty may be as large as the range; it is the first thing that makes a usual value odd.
      const [usual] = row.plausible;
      const inside = usual + 1e-9 * (row.plausible[1] - usual);
      const spans = [row.plausible, row.possible].map(([least, most]) => most - least) as [number, number];
      expect(state(inside, spans[0] * (1 - 1e-9))).toBe("usual");
      expect(state(inside, spans[0] * (1 + 1e-6))).toBe(spans[0] === spans[1] ? "impossible" : "odd");
      expect(state(inside, spans[1] * (1 + 1e-6))).toBe("impossible");
    },
  );
});
