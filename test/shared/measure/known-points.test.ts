import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { marksAt, statedInputs } from "../../../src/shared/measure/input-state.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { pictureOnPlane } from "../../../src/shared/measure/picture-map-of.ts";
import { systematicInputs } from "../../../src/shared/measure/systematic-inputs.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";

/*
 * A flight plane by known points through a lens that bends the picture and has no profile. The example's
 * shot, whose flight is known in metres, is seen again through such a lens.
 */
const EXAMPLE = exampleSession(1);
const [FIRST] = EXAMPLE.shots as [Shot];
const FACTS = variantFacts("plain");
const TRUE = pictureOnPlane(FIRST, undefined, null).plane!.map;
const TRUE_SPEED = measureShot(EXAMPLE, FIRST.id, FACTS).measurement!.quantities.releaseSpeed!;

type Px = readonly [number, number];

/** What a lens makes of a place: k is its share outwards at the corner. */
function bent([x, y]: Px, k: number): [number, number] {
  const radius = Math.hypot(960, 540);
  const by = (k * ((x - 960) ** 2 + (y - 540) ** 2)) / radius ** 2;
  return [x + by * (x - 960), y + by * (y - 540)];
}

/** Around the whole flight, and below the rest only: the airframe leaves these within the push. */
const AROUND: readonly Px[] = [
  [600, 60],
  [1850, 60],
  [1850, 900],
  [600, 900],
  [1200, 80],
  [1230, 880],
  [1840, 500],
  [620, 480],
];
const BELOW: readonly Px[] = [
  [300, 600],
  [800, 600],
  [800, 950],
  [300, 950],
  [550, 620],
  [540, 940],
  [310, 780],
  [790, 770],
];

/** @param far m, added to every place */
function filmed(points: readonly Px[], k: number, seed: number, far = 0, uPx = 0.7, uM = 0.003): Session {
  const chance = createChance(seed);
  const control = {
    uPx,
    uM,
    points: points.map((at) => {
      const [x, y] = TRUE.toMetres(at);
      const [px, py] = bent(at, k);
      return {
        at: [px + uPx * chance.normal(), py + uPx * chance.normal()] as [number, number],
        xM: x + far + uM * chance.normal(),
        yM: y + far + uM * chance.normal(),
      };
    }),
  };
  const marks = FIRST.marks.map((mark) => {
    const [x, y] = bent([mark.x, mark.y], k);
    return { ...mark, x, y };
  });
  return { ...EXAMPLE, shots: [{ ...FIRST, control, marks }] };
}

/** The frames that the travel is taken between: late in the push, and the last. */
const NOSE = FIRST.marks.filter(({ pointId }) => pointId === "nose");
const ENDS = [NOSE.at(-31)!.frame, NOSE.at(-1)!.frame];

/** Travel of the nose between them, with all that the plane brings to its u. */
function travelOf(session: Session) {
  const [shot] = session.shots as [Shot];
  const marks = shot.marks.filter(({ frame }) => ENDS.includes(frame));
  const { setUp } = measuringSetUp(filmedShot(session, { ...shot, marks }), FACTS);
  if (setUp === null) return null;
  const stated = statedInputs(setUp.shot, setUp);
  const travelAt = (state: typeof stated) => {
    const nose = marksAt(state, setUp)!.marks.filter(({ point }) => point === 0);
    const [from, to] = [nose[0]!, nose[1]!];
    return Math.hypot(to.x - from.x, to.y - from.y);
  };
  const inputs = systematicInputs(setUp).filter(({ source }) => source === "plane" || source === "lens");
  const parts = inputs.map(({ move }) => (travelAt(move(stated, 1)) - travelAt(move(stated, -1))) / 2);
  return { travelM: travelAt(stated), u: Math.hypot(...parts) };
}

/** Share of the travels within 2 u of the true one over seeds, of those that are stated. */
function held(points: readonly Px[], lens: (normal: number) => number, seeds = 50) {
  const truth = filmedTravel();
  const lenses = createChance(5);
  let [inside, stated, largest] = [0, 0, 0];
  for (let seed = 0; seed < seeds; seed++) {
    const travel = travelOf(filmed(points, lens(lenses.normal()), 100 + seed));
    if (travel === null) continue;
    const off = Math.abs(travel.travelM - truth) / travel.u;
    stated++;
    if (off <= 2) inside++;
    largest = Math.max(largest, off);
  }
  return { inside: inside / stated, stated: stated / seeds, largest };
}

function filmedTravel(): number {
  const [from, to] = [NOSE.at(-31)!, NOSE.at(-1)!].map(({ x, y }) => TRUE.toMetres([x, y]));
  return Math.hypot(to![0] - from![0], to![1] - from![1]);
}

describe("known points through a lens without a profile", () => {
  // 97.5 and 92.5 % of 120 seeds of a strong lens; 76 and 84 % where disagreement and bend are left out.
  it.each([
    ["around the flight", AROUND],
    ["away from it", BELOW],
  ])("hold the travel within 2 u over seeds, the points %s", (_, points) => {
    expect(held(points, (z) => 0.02 * z).inside).toBeGreaterThanOrEqual(0.9);
    expect(held(points, () => 0).inside).toBeGreaterThanOrEqual(0.9);
  });

  it("widen the speed by what their own misfit says, and blame the lens and not the marks", () => {
    const session = filmed(AROUND, -0.02, 3, 0, 0.5, 0.0015);
    const { measurement, notices } = measureShot(session, FIRST.id, FACTS);
    const { releaseSpeed } = measurement!.quantities;
    expect(Math.abs(releaseSpeed!.value - TRUE_SPEED.value) / releaseSpeed!.u).toBeLessThan(2);
    const lens = measurement!.budget.releaseSpeed!.find(({ source }) => source === "lens")!;
    expect(lens.u / releaseSpeed!.u).toBeGreaterThan(0.5);
    const codes = notices.map(({ code }) => code);
    expect(codes).toContain(ofShot("plane-picture-bent"));
    expect(codes).not.toContain(ofShot("marks-noisier"));
  });

  it("say where marks do not fit that the picture between and beyond them may be bent", () => {
    const { notices } = measureShot(filmed(BELOW, -0.02, 3), FIRST.id, FACTS);
    const codes = notices.map(({ code }) => code);
    expect(codes).toContain(ofShot("marks-or-plane"));
    expect(codes).not.toContain(ofShot("marks-noisier"));
  });

  it("name one that is off by more than its u, and count them all as that uncertain", () => {
    const session = filmed(AROUND, 0, 8);
    const [shot] = session.shots as [Shot];
    const points = shot.control!.points.map((one, i) => (i === 5 ? { ...one, xM: one.xM + 0.016 } : one));
    const off = { ...session, shots: [{ ...shot, control: { ...shot.control!, points } }] };
    const [before, after] = [session, off].map((one) => measureShot(one, FIRST.id, FACTS));
    expect(after!.notices.map(({ code }) => code)).toContain(ofShot("plane-points-strained"));
    expect(before!.notices.map(({ code }) => code)).not.toContain(ofShot("plane-points-strained"));
    const [u, widened] = [before, after].map(
      (one) => one!.measurement!.budget.releaseSpeed!.find(({ source }) => source === "plane")!.u,
    );
    expect(widened! / u!).toBeGreaterThan(1.3);
  });
});

it("counts known places from their middle: 9 km from the origin the results are the same to eight digits", () => {
  const [near, far] = [0, 9000].map(
    (by) => measureShot(filmed(AROUND, 0, 3, by), FIRST.id, FACTS).measurement!.quantities,
  );
  for (const name of ["releaseSpeed", "stroke", "launchAngle"] as const) {
    expect(far![name]!.value / near![name]!.value, name).toBeCloseTo(1, 7);
    expect(far![name]!.u / near![name]!.u, name).toBeCloseTo(1, 4);
  }
});
