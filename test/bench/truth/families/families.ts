import type { ReleaseInput } from "../../../../src/shared/kinematics/release-evidence.ts";
import { type Chance, createChance } from "../../../../src/shared/quantity/chance.ts";
import { type Push, ramPush, shapedPush } from "../push.ts";
import { between, drawPushingRam, type SimulatedShot } from "../simulate.ts";
import { type Filming, filmed } from "./filmed.ts";
import { clicked, correlated, type ErrorModel, gap, oblong, shaken, thinned, WHITE } from "./mark-errors.ts";

/** One kind of launch or of marking that a clip may bring. */
export interface Family {
  readonly name: string;
  draw(seed: number): FamilyShot;
}

export interface FamilyShot {
  readonly shot: SimulatedShot;
  readonly release: ReleaseInput;
  /** Whether a motor is known to push on after release. */
  readonly powered: boolean;
}

const METRES_PER_PIXEL = 1.3e-3;
const RATES = [240, 480, 960, 2000] as const;

const drawnAngle = (chance: Chance) => between(chance, 0.15, 0.6);

function ordinary(chance: Chance): Omit<Filming, "angleRad"> {
  const rateHz = RATES[Math.floor(chance.uniform() * RATES.length)] as number;
  return {
    rateHz,
    noiseM: METRES_PER_PIXEL * between(chance, 0.1, 0.8),
    points: 2 + Math.floor(chance.uniform() * 4),
    restS: Math.max(0.02, 7 / rateHz),
    afterS: Math.max(between(chance, 0.04, 0.08), 12 / rateHz),
    after: { kind: "flight" },
    errors: WHITE,
  };
}

type Change = (filming: Filming, chance: Chance, push: Push) => Partial<Filming>;
const NOTHING: Change = () => ({});
const FOUND: ReleaseInput = { by: "change-point" };

interface DrawnPush {
  readonly push: Push;
  readonly angleRad: number;
}

function family(
  name: string,
  draw: (chance: Chance) => DrawnPush,
  change: Change = NOTHING,
  release: (shot: SimulatedShot, chance: Chance) => ReleaseInput = () => FOUND,
  powered = false,
): Family {
  return {
    name,
    draw(seed) {
      const chance = createChance(seed);
      const { push, angleRad } = draw(chance);
      const start = { ...ordinary(chance), angleRad };
      const shot = filmed(chance, push, { ...start, ...change(start, chance, push) });
      return { shot, release: release(shot, chance), powered };
    },
  };
}

const ramDrawn = (chance: Chance): DrawnPush => {
  const { inputs, ram } = drawPushingRam(chance);
  return { push: ramPush(inputs, ram), angleRad: inputs.angleRad };
};
const ram = (
  name: string,
  ...rest: [change?: Change, release?: Parameters<typeof family>[3], powered?: boolean]
) => family(name, ramDrawn, ...rest);

const shaped =
  (shape: (share: number) => number) =>
  (chance: Chance): DrawnPush => {
    const angleRad = drawnAngle(chance);
    return {
      push: shapedPush(shape, between(chance, 8, 18), between(chance, 0.5, 1), angleRad),
      angleRad,
    };
  };

const errors =
  (model: ErrorModel): Change =>
  () => ({ errors: model });

const sine = shaped((share) => Math.sin(Math.PI * share));
const sudden = shaped((share) => 1 - 0.3 * share);
const slowRise = shaped((share) => Math.min(1, (share / 0.6) ** 2));
const growing = shaped((share) => 0.3 + 0.7 * share);
const pulsating = shaped((share) => 1 + 0.5 * Math.sin(10 * Math.PI * share));
const slackening = shaped((share) => Math.cos((Math.PI / 2) * share));
const short: Change = (_, chance, push) => ({
  rateHz: (3 + 4.99 * chance.uniform()) / push.pushS,
  restS: (7 * push.pushS) / 3,
  afterS: 3 * push.pushS,
});

const boosted: Change = (_, chance) => ({
  after: { kind: "boost", thrustMPerS2: between(chance, 30, 150) },
});
const statedTravel = ({ truth }: SimulatedShot, chance: Chance): ReleaseInput => ({
  by: "travel",
  travelM: truth.stroke + 0.005 * chance.normal(),
  u: 0.005,
});

export const FAMILIES: readonly Family[] = [
  ram("ram, as a matter of course"),
  ram("no flight: marks end 0 to 5 frames before release", (f, chance) => ({
    afterS: -5.999 * chance.uniform() * (1 / f.rateHz),
  })),
  ram("1 to 5 frames of flight", (f, chance) => ({ afterS: (1 + 4.999 * chance.uniform()) / f.rateHz })),
  ram("3 to 7 frames of push", short),
  family("a push that fades out (half sine)", sine),
  family("an elastic line running slack", slackening),
  ram("coasts 5 to 30 ms on the launcher", (_, chance) => ({
    after: { kind: "coast", coastS: between(chance, 0.005, 0.03) },
  })),
  ram("goes on being pushed (boost of 30 to 150 m/s²)", boosted),
  ram("goes on being pushed, travel stated to 5 mm", boosted, statedTravel, true),
  ram("push out of view, rest not marked", (f, _, push) => ({
    restS: -(push.pushS + 2 / f.rateHz),
    afterS: Math.max(f.afterS, 24 / f.rateHz),
  })),
  ram("first mark in the middle of the push", (_, __, push) => ({ restS: -0.4 * push.pushS })),
  family("push rises with the square of time", slowRise),
  family("push at once in full", sudden),
  family("short push, long flight", sudden, () => ({ afterS: 0.4 })),
  ram("5000 to 10000 frames a second", (_, chance) => ({ rateHz: between(chance, 5000, 10_000) })),
  family("pulsating push, five cycles", pulsating),
  family("followed marks, push greatest at its end", growing, (_, chance) => ({
    noiseM: METRES_PER_PIXEL * between(chance, 0.02, 0.05),
  })),
  ram("followed marks", (_, chance) => ({ noiseM: METRES_PER_PIXEL * between(chance, 0.02, 0.05) })),
  ram("release by the person, good guess", NOTHING, (shot, chance) => ({
    by: "person",
    timeS: shot.truth.releaseS + chance.normal() / shot.rateHz,
    u: 1 / shot.rateHz,
  })),
  ram("release by the person, 6 frames off where 1 is stated", NOTHING, (shot, chance) => ({
    by: "person",
    timeS: shot.truth.releaseS + (chance.uniform() < 0.5 ? -6 : 6) / shot.rateHz,
    u: 1 / shot.rateHz,
  })),
  ram("clicks on half pixels", () => ({
    errors: clicked(METRES_PER_PIXEL / 2),
    noiseM: 0.4 * METRES_PER_PIXEL,
  })),
  ram("errors that last, 0.3", errors(correlated(0.3))),
  ram("errors that last, 0.5", errors(correlated(0.5))),
  ram("errors that last, 0.8", errors(correlated(0.8))),
  ram("camera shake, unmarked", errors(shaken(0.9, METRES_PER_PIXEL / 2))),
  ram("errors 3 times as large along", errors(oblong(3))),
  ram("errors 3 times as large across", errors(oblong(1 / 3))),
  ram("30 % of marks missing", errors(thinned(0.3))),
  ram("a gap of 10 to 20 frames", errors(gap(10, 20))),
];
