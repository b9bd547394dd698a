import { describe, expect, it } from "vitest";
import {
  type CauseFamily,
  fitCause,
  type SeenPush,
  type StatedModel,
} from "../../../src/shared/compare/cause-fit.ts";
import type { ModelMotion } from "../../../src/shared/compare/model-motion.ts";
import { type ResidualCause, readResidual } from "../../../src/shared/compare/read-residual.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";

/** A push x(t) of 0.1 s of the model's own clock, by its exact motion. */
function sampled(x: (t: number) => number, v: (t: number) => number, a: (t: number) => number): ModelMotion {
  const timeS = Array.from({ length: 101 }, (_, i) => i * 1e-3);
  return { timeS, position: timeS.map(x), speed: timeS.map(v), acceleration: timeS.map(a) };
}

/**
 * 150 m/s² falling by `fade` m/s³, after a dead time; `hump` and `ripple` add one and two waves of speed that
 * start and end at nothing.
 */
function push({ late = 0, more = 0, fade = 400, hump = 0, ripple = 0 }): ModelMotion {
  const waves = [
    [hump, 2 * Math.PI * 10],
    [ripple, 2 * Math.PI * 20],
  ] as const;
  const wavy = (of: (size: number, w: number) => number) =>
    waves.reduce((sum, [size, w]) => sum + of(size, w), 0);
  const since = (of: (s: number) => number) => (t: number) => (t > late ? of(t - late) : 0);
  return sampled(
    since(
      (s) =>
        ((150 + more) * s ** 2) / 2 - (fade * s ** 3) / 6 + wavy((k, w) => k * (s - Math.sin(w * s) / w)),
    ),
    since((s) => (150 + more) * s - (fade * s ** 2) / 2 + wavy((k, w) => k * (1 - Math.cos(w * s)))),
    since((s) => 150 + more - fade * s + wavy((k, w) => k * w * Math.sin(w * s))),
  );
}

const BASE = push({});
const STATED: StatedModel = { motion: BASE, inputs: [] };
const family = (sizes: readonly number[], of: (size: number) => ModelMotion): CauseFamily =>
  [...sizes, 0].sort((a, b) => a - b).map((size) => ({ size, motion: size === 0 ? BASE : of(size) }));

function cause(
  code: string,
  sizes: readonly number[],
  of: (size: number) => ModelMotion,
  inputs: readonly string[] = [],
): ResidualCause {
  return {
    code,
    family: family(sizes, of),
    inputs,
    shown: (size) => ({ size, unit: "1" }),
    words: ({ value, u }) => `${code} by ${value.toPrecision(3)} ± ${u.toPrecision(2)}`,
  };
}

const LATE = cause("late", [0.002, 0.004, 0.008], (late) => push({ late }));
const STRONGER = cause("stronger", [-20, 20, 40], (more) => push({ more }));
const STEEPER = cause("steeper", [-800, 800, 1600], (more) => push({ fade: 400 + more }));
const RIPPLE = cause("ripple", [0.1, 0.2, 0.4], (ripple) => push({ ripple }));
const HUMP = cause("hump", [0.1, 0.2, 0.4], (hump) => push({ hump }));

/**
 * The motion as marks every 1/960 s see it, model time 0 at 20 ms before the first frame in view of the push.
 */
function seen(
  motion: ModelMotion,
  { sd = 3e-4, seed = 1, valveS = null as SeenPush["valveS"], rest = 0, scale = 1 } = {},
): SeenPush {
  const chance = createChance(seed);
  const timeS = Array.from({ length: 110 }, (_, k) => -0.1145 + k / 960).filter((t) => t <= 0);
  const at = (t: number) => {
    const i = Math.min(Math.floor((t + 0.1) * 1000), 99);
    if (t <= -0.1) return 0;
    const w = (t + 0.1) * 1000 - i;
    // Straight lines would err by 150 · (1 ms)²/8 = 19 µm; the cubic does not.
    const [p, q, vp, vq] = [
      motion.position[i]!,
      motion.position[i + 1]!,
      motion.speed[i]! * 1e-3,
      motion.speed[i + 1]! * 1e-3,
    ];
    return (
      p * (2 * w ** 3 - 3 * w ** 2 + 1) +
      q * (3 * w ** 2 - 2 * w ** 3) +
      vp * (w ** 3 - 2 * w ** 2 + w) +
      vq * (w ** 3 - w ** 2)
    );
  };
  return {
    timeS,
    positionM: timeS.map((t) => rest + scale * at(t) + sd * chance.normal()),
    u: timeS.map(() => sd),
    scaleU: 0.002,
    rateU: 0.0005,
    valveS,
  };
}

describe("fitCause", () => {
  it("finds clock offset, rest and the size of a cause together, from exact positions", () => {
    const exact = {
      ...seen(push({ more: 12 }), { sd: 1e-9, rest: 0.004 }),
      u: new Array<number>(110).fill(1e-4),
    };
    const u = exact.timeS.map(() => 1e-4);
    const fit = fitCause({ ...exact, u }, STATED, STRONGER.family);
    expect(fit.size!.value).toBeCloseTo(12, 3);
    expect(fit.shiftS).toBeCloseTo(-0.1, 6);
    expect(fit.chi2).toBeLessThan(1e-3);
  });

  it("states a u of the size that 200 seeded shots scatter with, within 15 % (three standard errors)", () => {
    // Scale and clock are right in every shot here, so their u must not be in it.
    const sizes = Array.from({ length: 200 }, (_, seed) => {
      const shot = { ...seen(push({ more: 12 }), { seed }), scaleU: 0, rateU: 0 };
      return fitCause(shot, STATED, STRONGER.family).size!;
    });
    const mean = sizes.reduce((sum, { value }) => sum + value, 0) / 200;
    const sd = Math.sqrt(sizes.reduce((sum, { value }) => sum + (value - mean) ** 2, 0) / 199);
    expect(Math.abs(sd / sizes[0]!.u - 1)).toBeLessThan(0.15);
    expect(Math.abs(mean - 12)).toBeLessThan((3 * sd) / Math.sqrt(200));
    // A scale that may be off adds its share: 0.2 % of 150 m/s² at the least.
    expect(fitCause(seen(push({ more: 12 })), STATED, STRONGER.family).size!.u).toBeGreaterThan(
      Math.hypot(sd, 0.25),
    );
  });

  it("keeps a size within its family: a hump that is none stays at nothing, never below", () => {
    for (let seed = 0; seed < 20; seed++) {
      const { size, chi2 } = fitCause(seen(push({ hump: -0.3 }), { seed }), STATED, HUMP.family);
      expect(size!.value).toBe(0);
      expect(chi2).toBeLessThanOrEqual(
        fitCause(seen(push({ hump: -0.3 }), { seed }), STATED, null).chi2 + 1e-3,
      );
    }
  });
});

describe("readResidual", () => {
  it("leaves a cause out that does nothing in this push: no size of it can be told", () => {
    const idle = cause("idle", [0.1, 0.2, 0.4], () => BASE);
    const reading = readResidual(seen(push({ more: 12 })), STATED, [idle, STRONGER]);
    expect(reading.tried.map(({ code }) => code)).toEqual(["stronger"]);
    expect(reading.causes.map(({ code }) => code)).toEqual(["stronger"]);
    expect(readResidual(seen(push({})), STATED, [idle])).toMatchObject({ tried: [], causes: [] });
  });

  it("names the one cause that was at play, with its size within three of its u", () => {
    const reading = readResidual(seen(push({ hump: 0.15 })), STATED, [STRONGER, STEEPER, HUMP]);
    expect(reading.outcome).toBe("named");
    expect(reading.causes.map(({ code }) => code)).toEqual(["hump"]);
    const { size, words } = reading.causes[0]!;
    expect(Math.abs(size.value - 0.15)).toBeLessThan(3 * size.u);
    expect(reading.text).toBe(`Likely cause of the difference: ${words}.`);
    expect(reading.tried[0]!.better).toBeGreaterThan(reading.tried[1]!.better + 6);
  });

  it("blames no guess on a person: it says that it is one, and nothing of what was stated wrongly", () => {
    const { text } = readResidual(seen(push({ more: 12 })), STATED, [
      { ...STRONGER, statedU: 1e-3, guessed: true },
    ]);
    expect(text).toContain(" (a guess that nobody has stated yet).");
    expect(text).not.toMatch(/than stated|of its uncertainties|stated wrongly/);
  });

  it("says by how many of its uncertainties a cause contradicts what was stated, from four on", () => {
    const shot = seen(push({ more: 12 }));
    const { size } = readResidual(shot, STATED, [STRONGER]).causes[0]!;
    const textBy = (statedU: number | undefined) =>
      readResidual(shot, STATED, [{ ...STRONGER, statedU }]).text;
    const inU = (u: number) => Math.abs(size.value) / Math.hypot(u, size.u);
    const near = size.value / 3.5;
    expect(inU(near)).toBeLessThan(4);
    for (const u of [undefined, near]) expect(textBy(u)).not.toContain("of its uncertainties");
    const far = size.value / 9;
    expect(inU(far)).toBeGreaterThan(4);
    expect(textBy(far)).toContain(` (${inU(far).toFixed(0)} of its uncertainties).`);
    expect(textBy(far)).toContain("stands for something that the model leaves out");
  });

  it("can name a late valve only where the valve's time was seen: else it is the clock's own offset", () => {
    const late = push({ late: 0.004 });
    const known = readResidual(seen(late, { valveS: { value: -0.1, u: 3e-4 } }), STATED, [
      LATE,
      STEEPER,
      HUMP,
    ]);
    expect(known.causes.map(({ code }) => code)).toEqual(["late"]);
    expect(Math.abs(known.causes[0]!.size.value - 0.004)).toBeLessThan(3 * known.causes[0]!.size.u);
    const unknown = readResidual(seen(late), STATED, [LATE, STEEPER, HUMP]);
    expect(unknown).toMatchObject({ outcome: "agrees", causes: [] });
  });

  it("names together causes that do nearly the same", () => {
    const twin = cause("likewise", [-22, 18, 41], (more) => push({ more, fade: 400 + 0.5 * more }));
    const reading = readResidual(seen(push({ more: 12 })), STATED, [STRONGER, twin, HUMP]);
    expect(reading.outcome).toBe("together");
    expect(reading.causes.map(({ code }) => code).sort()).toEqual(["likewise", "stronger"]);
    expect(reading.text).toMatch(
      /^Likely cause of the difference: either .* or .*; the footage cannot tell them apart\.$/,
    );
  });

  it("lists three that do nearly the same, the last after an or, from the likeliest down", () => {
    const twin = cause("likewise", [-22, 18, 41], (more) => push({ more, fade: 400 + 0.5 * more }));
    const third = cause("as well", [-21, 19, 42], (more) => push({ more, fade: 400 - 0.5 * more }));
    const { text, causes } = readResidual(seen(push({ more: 12 })), STATED, [STRONGER, twin, third, HUMP]);
    const [a, b, c] = causes.map(({ words }) => words);
    expect(text).toBe(
      `Likely cause of the difference: either ${a}, ${b} or ${c}; the footage cannot tell them apart.`,
    );
  });

  it("names none where two causes that differ explain it about equally well, though the difference is plain", () => {
    // Both are at play, and each by itself explains about half.
    const readings = Array.from({ length: 30 }, (_, seed) =>
      readResidual(seen(push({ hump: 0.12, ripple: 0.18 }), { seed }), STATED, [HUMP, RIPPLE]),
    );
    const gap = ({ tried: [first, second] }: (typeof readings)[number]) => first!.better - second!.better;
    const close = readings.filter((one) => gap(one) <= 6);
    expect(close.length).toBeGreaterThan(3);
    for (const { tried, outcome, causes, text } of close) {
      expect(tried.every(({ better }) => better > 10)).toBe(true);
      expect([outcome, causes]).toEqual(["unclear", []]);
      expect(text).toMatch(/no single cause/);
    }
    for (const { causes } of readings.filter((one) => gap(one) > 6)) expect(causes).toHaveLength(1);
  });

  it("names none where marks are too rough, and none where the stated inputs' own u covers the difference", () => {
    const stronger = push({ more: 12 });
    expect(readResidual(seen(stronger, { sd: 0.03 }), STATED, [STRONGER, STEEPER, HUMP])).toMatchObject({
      outcome: "agrees",
      causes: [],
    });
    const loose: StatedModel = { motion: BASE, inputs: [{ name: "charge", moved: push({ more: 12 }) }] };
    expect(readResidual(seen(stronger), loose, [STEEPER, HUMP])).toMatchObject({
      outcome: "agrees",
      causes: [],
    });
    // A cause that stands for that input takes its place; now the same difference is its size.
    const own = { ...STRONGER, inputs: ["charge"] };
    expect(readResidual(seen(stronger), loose, [own]).tried[0]!.size.value).toBeGreaterThan(8);
  });

  it("takes no scale error within its u for a cause", () => {
    const reading = readResidual(seen(BASE, { scale: 1.003 }), STATED, [STRONGER, STEEPER, HUMP]);
    expect(reading).toMatchObject({ outcome: "agrees", causes: [] });
  });

  it("reads a misfit that nothing mends less closely, and says what is left", () => {
    const w = 2 * Math.PI * 45;
    const rough = seen(push({ hump: 0.4 }));
    const shaken = {
      ...rough,
      positionM: rough.positionM.map((x, i) => x + 8e-4 * Math.sin(w * rough.timeS[i]!)),
    };
    const reading = readResidual(shaken, STATED, [STRONGER, HUMP]);
    const clean = readResidual(rough, STATED, [STRONGER, HUMP]);
    expect(reading.causes.map(({ code }) => code)).toEqual(["hump"]);
    expect(reading.text).toMatch(/ Even so the model leaves \d\.\d times the marks' scatter\.$/);
    expect(clean.text).not.toMatch(/Even so/);
    expect(reading.causes[0]!.size.u).toBeGreaterThan(1.5 * clean.causes[0]!.size.u);
  });

  it("says so with too few frames of the push", () => {
    const all = seen(BASE);
    const few = (values: readonly number[]) => values.filter((_, i) => i % 12 === 0);
    const sparse = { ...all, timeS: few(all.timeS), positionM: few(all.positionM), u: few(all.u) };
    expect(readResidual(sparse, STATED, [STRONGER])).toMatchObject({
      outcome: "too-few",
      causes: [],
      misfit: null,
    });
  });

  it("throws RangeError on arrays that do not fit, a u of 0, and a family without size 0", () => {
    const all = seen(BASE);
    expect(() => readResidual({ ...all, u: all.u.slice(1) }, STATED, [])).toThrow(/one length/);
    expect(() => readResidual({ ...all, u: all.u.map(() => 0) }, STATED, [])).toThrow(/u > 0/);
    const without = { ...STRONGER, family: STRONGER.family.filter(({ size }) => size !== 0) };
    expect(() => readResidual(all, STATED, [without])).toThrow(/"stronger" has no size 0/);
  });
});
