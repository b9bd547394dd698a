import { describe, expect, it } from "vitest";
import { fitView, type SeenPlace } from "../../../src/shared/background/fit-view.ts";

const PICTURE = [960, 540] as const;

/** Twelve places about a middle, reaching over a share of the picture, all moved by 150 px. */
function moved(share: number): readonly SeenPlace[] {
  return Array.from({ length: 12 }, (_, i) => {
    const reference = [
      300 + ((i % 4) / 3 - 0.5) * share * PICTURE[0],
      270 + (Math.floor(i / 4) / 2 - 0.5) * share * PICTURE[1],
    ] as const;
    return { reference, seen: [reference[0] + 150, reference[1] - 60], u: 0.05 };
  });
}

describe("fitView", () => {
  it("takes places all over the picture for its background", () => {
    const view = fitView(moved(0.5), PICTURE);
    expect([view?.map[2], view?.map[5]]).toEqual([expect.closeTo(150, 1), expect.closeTo(-60, 1)]);
  });

  it("does not take for it what lies close together: an airframe before a plain sky", () => {
    expect(fitView(moved(0.2), PICTURE)).toBeNull();
  });
});
