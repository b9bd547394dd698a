import { describe, expect, it } from "vitest";
import { damagedRuns, damagedSays } from "../../../src/renderer/strip/damaged-runs.ts";

const lost = (frame: number) => ({ frame, why: "it gives no picture", shown: false });
const doubtful = (frame: number) => ({ frame, why: "it lies beside", shown: true });

describe("the words about damaged frames", () => {
  it("keeps those that cannot be shown apart from those in doubt", () => {
    const all = [doubtful(11), lost(12), lost(13), doubtful(14), doubtful(15), lost(30)];
    expect(damagedSays(all, 0)).toBe(
      "Damaged in the file: frames 12 to 13, frame 30. In doubt: frame 11, frames 14 to 15.",
    );
    expect(damagedRuns(all).map(({ says }) => says)).toEqual([
      "frame 11 may be damaged: it lies beside",
      "frames 12 to 13 cannot be shown: it gives no picture",
      "frames 14 to 15 may be damaged: it lies beside",
      "frame 30 cannot be shown: it gives no picture",
    ]);
  });

  it("counts the marks that lie on them", () => {
    expect(damagedSays([lost(3)], 1)).toBe(
      "Damaged in the file: frame 3. 1 mark of this shot lies on one of them: check it or delete it.",
    );
    expect(damagedSays([doubtful(3)], 2)).toContain("2 marks of this shot lie on them");
  });
});
