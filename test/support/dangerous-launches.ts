import type { ShotNoticeCode } from "../../src/shared/results/notices/shot-notices.ts";
import type { Motor, NextShot, RocketLauncher, Session, Shot } from "../../src/shared/session/schema.ts";
import { launcherOf, sessionOf as rocketSession } from "../shared/launchers/rocket/rocket-session.ts";
import { ramSession, ramShot, WING } from "../shared/next-shot/ram-session.ts";
import { elasticSession } from "../shared/predict/elastic-line.ts";

/** A launch that a careful person would stop at, and what every face of the program must say of it. */
export interface DangerousLaunch {
  readonly name: string;
  readonly session: Session;
  readonly shot: Shot;
  readonly ask: NextShot;
  /** Notices of `predict`, of `next-shot` and of the window, in the same words. */
  readonly says: readonly ShotNoticeCode[];
  /** What the next shot must not say of it; null for nothing in particular. */
  readonly never: RegExp | null;
}

/** A pressure told as what to do. */
const NO_PRESSURE = /Fill to/;

const exactly = (value: number) => ({ value, u: 0 });
const within = (value: number, u: number) => ({ value, u });

function ask(
  speedMPerS: number,
  choose: NextShot["choose"],
  leastStallMargin: number | null = null,
): NextShot {
  return { speedMPerS: exactly(speedMPerS), choose, leastStallMargin };
}

function launch(
  name: string,
  session: Session,
  gaugePa: number | null,
  asked: NextShot,
  says: readonly ShotNoticeCode[],
  never: RegExp | null = null,
): DangerousLaunch {
  const shot = ramShot(gaugePa === null ? null : within(gaugePa, 500));
  return { name, session: { ...session, shots: [shot], nextShot: asked }, shot, ask: asked, says, never };
}

/** A pair of motors whose thrust is greatest once the cradle is left. */
const LATE_PEAK: Motor["thrust"] = {
  by: "curve",
  points: [
    [0, 0],
    [0.05, 8],
    [0.5, 7],
    [0.6, 12],
    [0.7, 30],
    [0.85, 28],
    [0.95, 0],
  ],
};

function rocketPair(change: Partial<Motor>, right: Partial<Motor> = {}, launcher = {}): RocketLauncher {
  const pair = launcherOf(launcher);
  const [one, other] = pair.motors as [Motor, Motor];
  return {
    ...pair,
    motors: [
      { ...one, ...change },
      { ...other, ...change, ...right },
    ],
  };
}

const BODY = { bodyDiameterM: exactly(0.06), pressureBehindM: within(0.12, 0.01) };

const CLOSED_ROD_SIDE = {
  rodDiameterM: exactly(0.016),
  volumeM3: exactly(30e-6),
  vent: { conductance: exactly(3e-8), criticalRatio: exactly(0.35) },
};

/** Half feet as a person has them in metres: the last draw is 1e-16 m above the table's own point. */
const HALF_FOOT = {
  drawM: exactly(15.5 * 0.3048),
  loading: [0, 3.5, 7, 11.5, 15.5, 20].map((feet, i): [number, number] => [feet * 0.3048, 15 * i]),
  unloading: [0, 3.5, 7, 11.5, 15.5, 20].map((feet, i): [number, number] => [feet * 0.3048, 12 * i]),
};

export const DANGEROUS_LAUNCHES: readonly DangerousLaunch[] = [
  launch(
    "a tank too small to push to the end",
    ramSession({ tankVolumeM3: exactly(0.3e-3) }),
    4e5,
    ask(7, "pressure"),
    ["leaves-early"],
  ),
  launch(
    "a rod side whose vent is too small",
    ramSession({ rodChamber: CLOSED_ROD_SIDE }),
    4e5,
    ask(11, "pressure"),
    ["leaves-early"],
  ),
  launch(
    "a push so weak that the ram stops short, from which the airframe goes on alone",
    ramSession(
      {
        tankVolumeM3: exactly(0.4e-3),
        movingMassKg: exactly(0.5),
        breakawayN: exactly(8),
        slidingN: exactly(5),
        viscousNsPerM: exactly(12),
        angleRad: exactly(0.07),
      },
      { massKg: exactly(0.9) },
    ),
    1.5e5,
    ask(4, "pressure"),
    ["leaves-early"],
    /The ram stops after/,
  ),
  launch("a speed below stall, and no margin asked for", ramSession({}, WING), 1e5, ask(6.2, "pressure"), [
    "below-stall",
    "after-below-stall",
  ]),
  launch(
    "motors that pull hardest after the cradle, past the load limit",
    rocketSession(rocketPair({ thrust: LATE_PEAK }), { loadLimitG: exactly(8) }),
    null,
    ask(6.78, "motor"),
    ["load-limit"],
  ),
  launch(
    "one motor of two that lights late",
    rocketSession(rocketPair({ aboveM: exactly(0) }, { delayS: exactly(0.06) }, { turnsOnCradle: true })),
    null,
    ask(7.5, "motor"),
    ["rocket-turns"],
  ),
  launch(
    "a dead motor on a cradle that lets the airframe turn",
    rocketSession(rocketPair({}, { lit: false }, { turnsOnCradle: true, railM: exactly(1.5) })),
    null,
    ask(6, "mass"),
    ["rocket-turns-over"],
  ),
  launch(
    "a centre of pressure ahead of the balance point",
    rocketSession(rocketPair({ aboveM: exactly(0) }), { ...BODY, pressureBehindM: within(-0.02, 0.005) }),
    null,
    ask(7.5, "motor"),
    ["flight-unstable", "flight-not-told"],
  ),
  launch(
    "a cradle that points straight up, with nobody to fly it away",
    rocketSession(rocketPair({ aboveM: exactly(0) }, {}, { angleRad: exactly(Math.PI / 2) }), {
      ...BODY,
      massKg: exactly(0.4),
    }),
    null,
    ask(7, "motor"),
    ["flight-near-people"],
  ),
  launch(
    "a tank of plastic pipe, whatever its rating",
    ramSession({ tankMaterial: "plastic-pipe" }),
    4e5,
    ask(13, "pressure"),
    ["plastic-pipe"],
    NO_PRESSURE,
  ),
  launch(
    "a tank without a rating",
    ramSession({ tankRatingPa: null }),
    4e5,
    ask(13, "pressure"),
    ["tank-rating-unknown"],
    NO_PRESSURE,
  ),
  launch(
    "a rating that warmth and age have lowered",
    ramSession({ tankRatingPa: 5e5, ratingShare: 0.6 }),
    4e5,
    ask(14.1, "pressure"),
    ["over-rating"],
    NO_PRESSURE,
  ),
  launch(
    "a ram that no pressure below its rating moves",
    ramSession({ breakawayN: exactly(400), tankRatingPa: 2e5 }),
    5e5,
    ask(10, "pressure"),
    ["over-rating"],
    /Fill to|No limit is stated/,
  ),
  launch("a ram that does not move", ramSession(), 1e3, ask(13, "stroke"), ["never-moves"]),
  launch(
    "a speed that no setting gives",
    ramSession({ tankRatingPa: 3e5 }),
    4e5,
    ask(60, "pressure"),
    ["over-rating"],
    NO_PRESSURE,
  ),
  launch(
    "a relief valve that opens below the pressure",
    ramSession({ reliefPa: 3e5 }),
    4e5,
    ask(14.1, "pressure"),
    ["over-relief"],
    NO_PRESSURE,
  ),
  launch(
    "a supply left open that could fill the tank past its rating",
    ramSession({
      tankRatingPa: 8e5,
      supplyGaugePa: within(9e5, 1e4),
      feedConductance: within(1e-8, 1e-9),
    }),
    4e5,
    ask(14.1, "pressure"),
    ["supply-over-rating"],
  ),
  launch(
    "gas shut in on the rod side that tears the base forward, and no end stop described",
    ramSession({ rodChamber: CLOSED_ROD_SIDE, hold: "latch", baseRatedLoadN: 900 }),
    4e5,
    ask(5.2, "pressure"),
    ["base-pull-over"],
  ),
  launch(
    "a line with a point of its table a rounding error below the draw",
    elasticSession({ ...HALF_FOOT, stretchLimit: 2, freeLengthM: within(1.6, 0.01) }),
    null,
    ask(22, "draw"),
    ["line-stretch-over"],
    /stops after|never moves/,
  ),
  launch(
    "a line that is drawn out farther than it may be stretched",
    elasticSession({ freeLengthM: within(1.6, 0.01), stretchLimit: 3 }),
    null,
    ask(25, "draw"),
    ["line-stretch-over"],
  ),
  launch(
    "a limit of stretch, and nothing to count the stretch by",
    elasticSession({ stretchLimit: 3 }),
    null,
    ask(25, "draw"),
    ["line-length-unknown"],
  ),
  launch(
    "two lines on an anchor that holds one",
    elasticSession({ anchorRatedLoadN: 80 }),
    null,
    ask(25, "draw"),
    ["anchor-over"],
  ),
  launch(
    "a carriage stopped too short",
    elasticSession({ endStop: { bufferTravelM: within(0.02, 0.001), ratedLoadN: 4000 } }),
    null,
    ask(25, "draw"),
    ["carriage-stop-over"],
  ),
];
