import { describe, expect, it } from "vitest";
import { damagedRuns, damagedSays } from "../../../src/renderer/strip/damaged-runs.ts";

const lost = (frame: number) => ({ frame, why: "it gives no picture", shown: false });
const doubtful = (frame: number) => ({ frame, why: "it lies beside", shown: true });

describe("the words about damaged frames", () => {
  it("keeps those that cannot be shown apart from those in doubt", () => {
    const all = [doubtful(11), lost(12), lost(13), doubtful(14), doubtful(15), lost(30)];
    expect(damagedSays(all, 0)).toBe("Damaged: 12 to 13, 30. In doubt: 11, 14 to 15.");
    expect(damagedRuns(all).map(({ says }) => says)).toEqual([
      "frame 11 may be damaged: it lies beside",
      "frames 12 to 13 cannot be shown: it gives no picture",
      "frames 14 to 15 may be damaged: it lies beside",
      "frame 30 cannot be shown: it gives no picture",
    ]);
  });

  it("counts the marks that lie on them", () => {
    expect(damagedSays([lost(3)], 1)).toBe("1 mark lies on a damaged frame: check it. Damaged: 3.");
    expect(damagedSays([doubtful(3)], 2)).toContain("2 marks lie on damaged frames: check them.");
  });
});
