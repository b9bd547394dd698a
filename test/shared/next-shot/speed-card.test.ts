import { describe, expect, it } from "vitest";
import { nextShot } from "../../../src/shared/next-shot/next-shot.ts";
import { speedCard } from "../../../src/shared/next-shot/speed-card.ts";
import { predictShot } from "../../../src/shared/predict/predict-shot.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import type { Launcher, NextShot, Session } from "../../../src/shared/session/schema.ts";
import { ofNext } from "../../support/notice-codes.ts";
import { firstOf, oneOfEach } from "../../support/one-of-each.ts";
import { calmShot, elasticSession } from "../predict/elastic-line.ts";
import { ramSession, ramShot, WING } from "./ram-session.ts";
import { boost, motor } from "./rocket-session.ts";

const exactly = (value: number): Measured => ({ value, u: 0 });
const NOW = { value: 5e5, u: 4e3 };
const ask = (part: Partial<NextShot> = {}): NextShot => ({
  speedMPerS: null,
  choose: "pressure",
  leastStallMargin: null,
  ...part,
});
const cardOf = (session: Session, part: Partial<NextShot> = {}) =>
  speedCard(session, ramShot(NOW), ask(part), []);

describe("speedCard of a ram", () => {
  it("gives at round pressures what predict gives there, with the interval of the next shot", () => {
    const session = ramSession({}, {}, 1);
    const card = cardOf(session, { cardMassesKg: [0.8] });
    expect([card.kind, card.notices]).toEqual(["pressure", []]);
    expect(card.columns.map(({ massKg }) => massKg.value)).toEqual([1.2, 0.8]);
    for (const i of [1, card.rows.length - 2]) {
      const { x } = card.rows[i]!;
      expect(x! / 0.5e5).toBeCloseTo(Math.round(x! / 0.5e5), 9);
      for (const { massKg, cells } of card.columns) {
        const shot = ramShot({ value: x!, u: NOW.u });
        const airframe = { ...firstOf(session).airframe, massKg };
        const { releaseSpeed } = predictShot(oneOfEach({ ...session, airframe }), shot).prediction!
          .quantities;
        const { speed, interval } = cells[i]!;
        expect(speed!.value).toBeCloseTo(releaseSpeed!.value, 9);
        expect(speed!.u).toBeCloseTo(releaseSpeed!.u, 9);
        // 1.96 of the normal distribution, as no scatter is known: JCGM 100:2008, table G.1
        expect(interval!.high - speed!.value).toBeCloseTo(1.96 * speed!.u, 3);
      }
    }
  });

  it("forbids a speed where the next shot refuses it, and nowhere else", () => {
    const session = ramSession({ reliefPa: 9e5 }, { ...WING, loadLimitG: { value: 40, u: 1 } }, 1);
    const leastStallMargin = 1.6;
    const card = cardOf(session, { leastStallMargin });
    const [column] = card.columns;
    const states = column!.cells.map(({ broken }) => broken.join());
    expect(new Set(states)).toEqual(new Set(["stall", "", "load"]));
    column!.cells.forEach(({ speed, broken }, i) => {
      const { answer } = nextShot(session, ramShot(NOW), ask({ leastStallMargin, speedMPerS: speed }), []);
      expect([card.rows[i]!.x, answer!.insideLimits]).toEqual([card.rows[i]!.x, broken.length === 0]);
    });
    // The row before the load limit and the one after hold its border between them.
    const border = column!.ends.find(({ name }) => name === "load")!.from;
    const first = card.rows[states.indexOf("load")]!.x!;
    expect(border).toBeLessThanOrEqual(first);
    expect(border).toBeGreaterThan(card.rows[states.indexOf("load") - 1]!.x!);
  });

  it("ends at the rating or at the relief valve, whichever comes first, naming it in the row that reaches it", () => {
    const rated = cardOf(ramSession({ tankRatingPa: 6e5 }));
    expect(rated.rows.at(-1)!.x).toBeCloseTo(6e5, 3);
    expect(rated.columns[0]!.cells.at(-1)!.broken).toEqual(["rating"]);
    const relieved = cardOf(ramSession({ tankRatingPa: 6e5, reliefPa: 5e5 }));
    expect(relieved.rows.at(-1)!.x).toBeCloseTo(5e5, 3);
    expect(relieved.columns[0]!.cells.at(-1)!.broken).toEqual(["relief"]);
    expect(relieved.marks.map(({ name, x }) => [name, x])).toEqual([
      ["rating", 6e5],
      ["relief", 5e5],
    ]);
  });

  it.each([
    ["plastic pipe", { tankMaterial: "plastic-pipe" }, "no-pressure-for-plastic"],
    ["a tank without a rating", { tankRatingPa: null }, "rating-first"],
  ] as const)("names no pressure for %s", (_, launcher, code) => {
    const card = cardOf(ramSession(launcher));
    expect([card.rows, card.columns, card.notices.map((one) => one.code)]).toEqual([[], [], [code]]);
    expect(card.cautions.length).toBeGreaterThan(2);
  });

  it("refers from a speed below the stall to the danger, which says where; a note of every launch to none", () => {
    const card = cardOf(ramSession({}, { ...WING, wingAreaM2: exactly(0.1) }));
    const [{ cells }] = card.columns as [(typeof card.columns)[number]];
    const at = card.cautions.findIndex(({ notice }) => notice.code === "below-stall");
    expect(card.cautions[at]!.notice.level).toBe("warning");
    expect(card.cautions[at]!.at!.row).toEqual(card.rows[0]);
    expect(cells[0]!.cautions).toContain(at);
    expect(cells.at(-2)!.cautions).not.toContain(at);
    const people = card.cautions.find(({ notice }) => notice.code === "people-down-range")!;
    expect(people.at).toBeNull();
  });

  it("refuses without a mass, without a model, and for a mass that cannot be", () => {
    const codes = (session: Session, part: Partial<NextShot> = {}) =>
      cardOf(session, part).notices.map(({ code }) => code);
    expect(codes(ramSession({}, { massKg: null }))).toEqual(["no-airframe-mass"]);
    expect(
      codes(oneOfEach({ ...ramSession(), launcher: { kind: "no-model", name: "by hand" } as Launcher })),
    ).toEqual([ofNext("no-card")]);
    expect(codes(ramSession(), { cardMassesKg: [1e-9] })).toEqual(["impossible-input"]);
    expect(codes(ramSession(), { cardMassesKg: [1, 2, 3] })).toEqual([ofNext("card-masses")]);
    expect(codes(ramSession({ breakawayN: exactly(1e6) }))).toEqual(["never-moves"]);
  });
});

describe("speedCard of other launchers", () => {
  it("goes by the draw of an elastic line, no further than its force was measured", () => {
    const session = elasticSession();
    const card = speedCard(session, calmShot(), ask(), []);
    expect([card.kind, card.setting!.unit, card.marks]).toEqual(["draw", "m", []]);
    const last = card.rows.at(-1)!.x!;
    expect(last).toBeCloseTo(6, 9);
    const there = predictShot(elasticSession({ drawM: exactly(last) }), calmShot()).prediction!.quantities;
    expect(card.columns[0]!.cells.at(-1)!.speed!.value).toBeCloseTo(there.releaseSpeed!.value, 9);
  });

  it("gives each of a boost's motors in every mount, for each mass, or the one it is loaded with", () => {
    const session = boost([motor("small", 12, 0.006), motor("large", 20, 0.011)]);
    const card = speedCard(session, calmShot(), ask({ cardMassesKg: [0.9] }), []);
    expect(card.rows.map(({ name }) => name)).toEqual(["small", "large"]);
    const { motors } = nextShot(
      session,
      calmShot(),
      { ...ask(), choose: "motor", speedMPerS: exactly(8) },
      [],
    );
    expect(card.columns[0]!.cells.map(({ speed }) => speed!.value)).toEqual(
      motors.map(({ speed }) => speed!.value),
    );
    const heavier = card.columns[1]!.cells.map(({ speed }) => speed!.value);
    expect(heavier.every((speed, i) => speed < motors[i]!.speed!.value)).toBe(true);
    const alone = speedCard(boost([motor("one", 15, 0.01)]), calmShot(), ask(), []);
    expect(alone.rows.map(({ name }) => name)).toEqual(["as loaded"]);
    expect(alone.columns[0]!.cells[0]!.speed!.value).toBeGreaterThan(3);
  });
});
