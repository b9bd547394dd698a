import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { drawnSays } from "../../../src/renderer/ledger/parts/drawn-words.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import type { DrawingRequest } from "../../../src/shared/measure/systematic-parts.ts";
import { HEADLINES, type Measurement } from "../../../src/shared/results/shot-result.ts";
import type { Session, Shot } from "../../../src/shared/session/schema.ts";

const SESSION = exampleSession(1);
const SHOT = SESSION.shots[0]!;

function measured(patch: Partial<Shot>, asked: DrawingRequest | null): Measurement {
  const session: Session = { ...SESSION, shots: [{ ...SHOT, ...patch }] };
  return measureShot(session, SHOT.id, null, asked).measurement!;
}

describe("drawing all inputs on demand", () => {
  it("agrees for the example, leaves the results as they were, and tells how far it is", () => {
    const plain = measured({}, null);
    const told: number[] = [];
    const drawn = measured({}, { draws: 400, onDraw: (done) => told.push(done) });
    expect(plain.drawn).toBeUndefined();
    expect(told).toEqual(Array.from({ length: 400 }, (_, i) => i + 1));
    expect(drawn.drawn!.draws).toBe(400);
    for (const name of HEADLINES) expect(drawn.drawn!.headlines[name]!.agree, name).toBe(true);
    expect(drawn.quantities).toEqual(plain.quantities);
    expect(drawn.budget).toEqual(plain.budget);
    expect(drawnSays(drawn.drawn!)).toMatch(/400 times\. Every result agrees/);
  });

  it("gives what the law gives where a result is proportional to its one doubtful input: v u(L)/L", () => {
    const { value } = SHOT.scale!.rodM;
    const { drawn, quantities } = measured(
      {
        scale: { ...SHOT.scale!, uPx: 1e-3, rodM: { value, u: 0.02 * value } },
        setting: {
          distanceM: { value: 9, u: 0.1 },
          nearerM: { value: 0, u: 1e-6 },
          turnRad: { value: 0, u: 0 },
        },
      },
      { draws: 1000 },
    );
    const { apart, together } = drawn!.headlines.releaseSpeed!;
    const byLaw = 0.02 * quantities.releaseSpeed!.value;
    expect(apart.u / byLaw).toBeCloseTo(1, 2);
    // The standard deviation of 1000 normal draws is off by 1/sqrt(2 · 999) = 2.2 %, one standard
    // error; four are allowed.
    expect(Math.abs(together.u / byLaw - 1)).toBeLessThan(0.09);
    expect(Math.abs(together.value - apart.value)).toBeLessThan((4 * byLaw) / Math.sqrt(1000));
  });
});

describe("where the two disagree", () => {
  // A flight plane that may be turned by 8° either way makes lengths longer whichever way it is turned: cos⁻¹
  // has no first order at 0.
  const setting = {
    distanceM: { value: 9, u: 0.1 },
    nearerM: { value: 0, u: 0.01 },
    turnRad: { value: 0, u: 0.14 },
  };
  it("draws unasked, says so, and states the drawn u", () => {
    const { drawn, quantities, budget } = measured({ setting }, null);
    const speed = drawn!.headlines.releaseSpeed!;
    expect(speed.agree).toBe(false);
    expect(speed.together.value - speed.apart.value).toBeGreaterThan(0.05); // longer lengths only
    expect(quantities.releaseSpeed!.u).toBeCloseTo(speed.together.u, 6);
    expect(Math.hypot(...budget.releaseSpeed!.map((line) => line.u))).toBeCloseTo(speed.together.u, 6);
    expect(drawnSays(drawn!)).toMatch(/^All inputs were drawn together, 200 times\. For release speed, /);
  });
});
