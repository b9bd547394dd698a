import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { freshRam } from "../../../src/shared/launchers/ram/fresh-ram.ts";
import type { SessionTuning } from "../../../src/shared/tune/tune-session.ts";
import { heldOutSays, savedRows, tuneNotices, tuneRows } from "../../../src/shared/tune/tune-words.ts";

const input = (name: string, stated: number, tuned: number, moved = true) => ({
  name,
  stated: { value: stated, u: 0.1 * Math.abs(stated) },
  tuned: { value: tuned, u: 0.02 * Math.abs(stated) },
  left: moved ? 0.2 : 0.9,
  moved,
});

const RAM: SessionTuning = {
  launcherKind: "compressed-air-ram",
  tuning: {
    inputs: [
      input("valve.conductance", 1.5e-7, 1.2e-7),
      input("slidingN", 15, 15, false),
      input("boreM", 0.06, 0.061),
    ],
    correlation: Float64Array.from([1, 0, 0, 0, 1, 0, 0, 0, 1]),
    undetermined: ["slidingN"],
    together: [],
    shots: [{ shotId: "shot-1", points: 20, own: [] }],
    chiSquare: 18,
    degreesOfFreedom: 17,
    chance: 0.4,
    widened: 1,
    scatter: null,
    earlyScatter: 0,
    unstated: [],
    rivals: [],
    steps: 5,
  },
  tuned: { values: [], correlation: [], undetermined: ["slidingN"], scatter: 0, shotCount: 1 },
  heldOut: [],
};
const ASKED = ["valve.conductance", "slidingN"];

describe("the words of a tuning", () => {
  it("are the table's, in the unit that each input is typed in: what was asked for, then what moved besides", () => {
    expect(tuneRows(RAM, ASKED)).toEqual([
      {
        path: "valve.conductance",
        words: "valve's sonic conductance",
        stated: "15.0 ± 1.5 dm³/(s·bar)",
        tuned: "12.0 ± 0.3 dm³/(s·bar)",
        rivals: [],
      },
      {
        path: "slidingN",
        words: "sliding friction",
        stated: "15.0 ± 1.5 N",
        tuned: "not determined; stays as stated",
        rivals: [],
      },
      {
        path: "boreM",
        words: "bore (not asked for)",
        stated: "60 ± 6 mm",
        tuned: "61.0 ± 1.2 mm",
        rivals: [],
      },
    ]);
  });

  it("show a separate answer that fits as well beside the first, also of what moves in it alone", () => {
    const { inputs } = RAM.tuning;
    const other = [input("valve.conductance", 1.5e-7, 1.8e-7), input("slidingN", 15, 12), inputs[2]!];
    const both = { ...RAM, tuning: { ...RAM.tuning, rivals: [{ inputs: other, more: 0.44 }] } };
    expect(
      tuneRows(both, ["valve.conductance"]).map(({ path, tuned, rivals }) => [path, tuned, rivals]),
    ).toEqual([
      ["valve.conductance", "12.0 ± 0.3 dm³/(s·bar)", ["18.0 ± 0.3 dm³/(s·bar)"]],
      ["slidingN", "not determined; stays as stated", ["12.0 ± 0.3 N"]],
      ["boreM", "61.0 ± 1.2 mm", ["61.0 ± 1.2 mm"]],
    ]);
    const said = tuneNotices(both, ASKED, exampleSession(1).shots).find(
      ({ code }) => code === "tune-other-answers",
    );
    expect(said?.cause).toContain("fit 2 separate answers about as well (chi-square 0.4 more)");
    const kept = {
      parameters: ["valve.conductance"],
      shotIds: ["shot-1"],
      heldOutShotIds: [],
      tuned: {
        ...RAM.tuned,
        values: [{ value: 1.2e-7, u: 3e-9 }],
        others: [{ path: "slidingN", value: { value: 15, u: 1.5 }, moved: false }],
        rivals: [
          {
            values: [
              { value: 1.8e-7, u: 3e-9 },
              { value: 12, u: 0.3 },
            ],
          },
        ],
        undetermined: [],
      },
      use: true,
    };
    const launcher = { ...freshRam(), slidingN: { value: 15, u: 1.5 } };
    expect(savedRows(launcher, kept).map(({ path, tuned, rivals }) => [path, tuned, rivals])).toEqual([
      ["valve.conductance", "12.0 ± 0.3 dm³/(s·bar)", ["18.0 ± 0.3 dm³/(s·bar)"]],
      ["slidingN", "not determined; stays as stated", ["12.0 ± 0.3 N"]],
    ]);
  });

  it("are in the words of the launcher that was tuned", () => {
    const notices = tuneNotices(RAM, ASKED, exampleSession(1).shots);
    expect(notices.map(({ cause }) => cause).join(" ")).toContain("do not determine sliding friction");
  });
});

describe("what a person should know of a tuning", () => {
  const session = exampleSession(1);
  const said = (tuning: object, asked: readonly string[] = ASKED) =>
    tuneNotices(
      { ...RAM, tuning: { ...RAM.tuning, undetermined: [], ...tuning } } as SessionTuning,
      asked,
      session.shots,
    );
  const codes = (tuning: object, asked?: readonly string[]) =>
    said(tuning, asked).map(({ code }) => code as string);
  const shots = (...ids: string[]) => ids.map((shotId) => ({ shotId, points: 20, own: [] }));

  it("is first how well the model follows the shots, in numbers and by chance", () => {
    expect(said({})[0]!.cause).toBe(
      "The model follows the shot to within the marks' scatter (chi-square 18 for 17 degrees of freedom).",
    );
    expect(said({ shots: shots("a", "b") })[0]!.cause).toMatch(/^The model follows the 2 shots /);
    // Chi-square 68 for 17 is a factor of 2 on the noise.
    const missed = said({ chiSquare: 68, widened: 2, chance: 0.0123 })[0]!;
    expect(missed.cause).toBe(
      "The model misses the shots by 2.0 times the marks' scatter (chi-square 68 for 17 degrees of freedom; " +
        "by chance 1.2 % of the time). The uncertainties are widened by as much.",
    );
    expect(said({ chiSquare: 68, widened: 2, chance: 9e-4 })[0]!.cause).toContain(
      "by chance less than once in 1000",
    );
    expect(said({ chiSquare: 68, widened: 2, chance: 0.001 })[0]!.cause).toContain(
      "by chance 0.1 % of the time",
    );
  });

  it("is a warning from half as much again as the marks' scatter on, a note below", () => {
    const level = (widened: number) => said({ chiSquare: 40, widened, chance: 0.01 })[0]!.level;
    expect([1.49, 1.51].map(level)).toEqual(["note", "warning"]);
  });

  it("names two inputs whose correlation is 0.9 or more either way, of those asked for that moved", () => {
    const inputs = [
      input("valve.conductance", 1.5e-7, 1.5e-7),
      input("slidingN", 15, 15),
      input("boreM", 0.06, 0.06),
    ];
    const close = (r: number, asked = ASKED, more: object = {}) =>
      said({ inputs, correlation: Float64Array.from([1, r, 0, r, 1, r, 0, r, 1]), ...more }, asked).filter(
        ({ code }) => code === "tune-close",
      );
    expect(close(0.89)).toEqual([]);
    expect(close(0.9)).toHaveLength(1);
    expect(close(-0.95)[0]!.cause).toBe(
      "Valve's sonic conductance and sliding friction are closely correlated (correlation −0.95): " +
        "their combination is known better than either alone.",
    );
    expect(close(0.95, ["valve.conductance"])).toEqual([]);
    expect(close(0.95, [...ASKED, "boreM"])).toHaveLength(2);
    const still = inputs.map((one) => ({ ...one, moved: one.name !== "slidingN" }));
    expect(close(0.95, ASKED, { inputs: still })).toEqual([]);
  });

  it("marks a guess as one, and holds how far it moved against nobody", () => {
    const { slidingN } = freshRam();
    const far = { name: "slidingN", stated: slidingN, tuned: { value: 14, u: 0.5 }, left: 0.2, moved: true };
    const tuning = { ...RAM.tuning, inputs: [far], correlation: Float64Array.of(1), undetermined: [] };
    expect(tuneRows({ ...RAM, tuning }, ["slidingN"])[0]!.stated).toBe("5.0 ± 2.5 N (guess)");
    const told = tuneNotices({ ...RAM, tuning }, ["slidingN"], session.shots);
    expect(told.map(({ code }) => code)).not.toContain("tune-far");
    expect(told.find(({ code }) => code === "tune-far-guess")).toMatchObject({
      level: "note",
      cause:
        "The tuned sliding friction lies far from the guess that stood in its place; nobody had stated it.",
    });
  });

  it("names what moved by more than three of its stated uncertainties, either way", () => {
    const far = (tuned: number, moved = true) =>
      said({ inputs: [input("slidingN", 15, tuned, moved)], correlation: Float64Array.of(1) }).filter(
        ({ code }) => code === "tune-far",
      );
    expect(far(15 + 2.99 * 1.5)).toEqual([]);
    expect(far(15 + 3.01 * 1.5)).toHaveLength(1);
    expect(far(15 - 4 * 1.5)[0]!.cause).toBe(
      "The tuned sliding friction lies 4.0 of its stated uncertainties from its stated value.",
    );
    expect(far(15 + 4 * 1.5, false)).toEqual([]);
  });

  it("names a shot that fits only with its gauge more than three of its uncertainties off, by the shot's name", () => {
    const own = (inU: number) =>
      said({
        shots: [{ shotId: session.shots[0]!.id, points: 20, own: [{ name: "gaugePressurePa", inU }] }],
      }).filter(({ code }) => code === "tune-own-far");
    expect([own(2.99), own(-2.99)]).toEqual([[], []]);
    expect(own(-3.01)).toHaveLength(1);
    expect(own(3.01)[0]!.cause).toContain(`${session.shots[0]!.name} fits only with its `);
    expect(own(3.01)[0]!.cause).toContain(" more than 3 of its uncertainties off.");
  });

  it("names what nobody stated, where the shots show it and where it would only fit as well", () => {
    const leak = (value: number, present: boolean) =>
      said({ unstated: [{ name: "leak", found: { value, u: 2e-9 }, present }] }).find(({ code }) =>
        code.startsWith("tune-unstated"),
      )!;
    expect(leak(1.6e-8, true)).toMatchObject({ code: "tune-unstated", level: "warning" });
    expect(leak(1.6e-8, true).cause).toBe(
      "The shots show a leak past the piston of 1.60 ± 0.20 dm³/(s·bar) that nobody stated; the tuned values stand beside it, and predictions count it.",
    );
    // Up to what is found and 1.96 u, and from 0 where less than nothing is found.
    expect(leak(1e-9, false).cause).toMatch(
      /^A leak past the piston of up to 0\.49 dm³\/\(s·bar\) that nobody /,
    );
    expect(leak(-3e-9, false).cause).toMatch(/ of up to 0\.39 dm³/);
    const inputs = [
      input("slidingN", 15, 14),
      {
        name: "leak",
        stated: { value: 0, u: 1e-8 },
        tuned: { value: 1.6e-8, u: 2e-9 },
        left: 0.2,
        moved: true,
      },
    ];
    const rows = (present: boolean) =>
      tuneRows(
        {
          ...RAM,
          tuning: {
            ...RAM.tuning,
            inputs,
            unstated: [{ name: "leak", found: { value: 1.6e-8, u: 2e-9 }, present }],
          },
        },
        ["slidingN"],
      );
    expect(rows(true)[1]).toMatchObject({
      path: "leak",
      stated: "not stated",
      tuned: "1.60 ± 0.20 dm³/(s·bar)",
    });
    expect(rows(false)).toHaveLength(1);
  });

  it("says how speed early in the push scatters, where it does", () => {
    expect(codes({ scatter: 0.01, earlyScatter: 0.02, shots: shots("a", "b", "c") })).toEqual([
      "tune-fits",
      "tune-scatter",
      "tune-early",
    ]);
  });

  it("says what the shots do not determine, what only together, and how far speeds scatter", () => {
    expect(codes({})).toEqual(["tune-fits", "tune-no-scatter"]);
    const open = said({ undetermined: ["slidingN", "boreM", "strokeM"], together: [["slidingN", "boreM"]] });
    expect(open.map(({ cause }) => cause).slice(1, 3)).toEqual([
      "The shots do not determine sliding friction, bore and stroke: they stay as stated.",
      "The shots do determine sliding friction and bore together, but not which of them it is.",
    ]);
    const scatter = (relative: number | null, count: number) =>
      said({ scatter: relative, shots: shots(...Array.from({ length: count }, (_, i) => `s${i}`)) }).at(-1)!
        .cause;
    expect(scatter(null, 1)).toMatch(/^One shot tells nothing/);
    expect(scatter(null, 2)).toMatch(/^Two shots tell nothing/);
    expect(scatter(0, 3)).toMatch(/^Release speed scatters no more from shot to shot than /);
    expect(scatter(0.0123, 3)).toMatch(/^Release speed scatters by 1\.2 % from shot to shot, beyond /);
  });
});

describe("a held-out shot", () => {
  const session = exampleSession(1);
  const says = (more: object) =>
    heldOutSays(
      {
        ...{ shotId: session.shots[0]!.id, relative: 0.0042, within: 0.2, inside: true },
        ...{ predicted: { value: 14.21, u: 0.09 }, measured: { value: 14.15, u: 0.05 } },
        ...more,
      } as never,
      session.shots,
      session.units,
    );

  it("is said by name, predicted and measured, how far off which way, and whether that was to be expected", () => {
    expect(says({})).toBe(
      `${session.shots[0]!.name}: predicted 14.21 ± 0.09 m/s, measured 14.15 ± 0.05 m/s; 0.4 % high, ` +
        "inside the ± 0.20 m/s expected of 95 in 100.",
    );
    expect(says({ relative: -0.031, inside: false })).toMatch(/; 3\.1 % low, outside the ± 0\.20 m\/s /);
    expect(says({ shotId: "gone" })).toMatch(/^gone: predicted/);
  });
});
