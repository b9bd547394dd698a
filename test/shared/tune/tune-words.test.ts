import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import type { SessionTuning } from "../../../src/shared/tune/tune-session.ts";
import { tuneNotices, tuneRows } from "../../../src/shared/tune/tune-words.ts";

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
      },
      {
        path: "slidingN",
        words: "sliding friction",
        stated: "15.0 ± 1.5 N",
        tuned: "not determined; stays as stated",
      },
      { path: "boreM", words: "bore (not asked for)", stated: "60 ± 6 mm", tuned: "61.0 ± 1.2 mm" },
    ]);
  });

  it("are in the words of the launcher that was tuned", () => {
    const notices = tuneNotices(RAM, ASKED, exampleSession(1).shots);
    expect(notices.map(({ cause }) => cause).join(" ")).toContain("do not determine sliding friction");
  });
});
