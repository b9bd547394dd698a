import { describe, expect, it } from "vitest";
import { firstMisplaced } from "../../../src/main/media/avi-index.ts";

const index = [100, 90, 0, 80, 70]; // a frame left out: a step of the clock without a picture
const asListed = [
  { step: 0, bytes: 100 },
  { step: 1, bytes: 90 },
  { step: 3, bytes: 80 },
  { step: 4, bytes: 70 },
];

describe("firstMisplaced", () => {
  it("finds nothing where every packet has its length and its step, or the list ends early or goes on after the index", () => {
    expect(firstMisplaced(index, asListed)).toBeNull();
    expect(firstMisplaced(index, asListed.slice(0, 2))).toBeNull();
    expect(firstMisplaced(index.slice(0, 2), asListed)).toBeNull();
  });

  it("finds the first after one that is missing, by its length, and by its step where the lengths are the same", () => {
    const moved = asListed
      .filter((_, i) => i !== 1)
      .map((one, i) => ({ ...one, step: [0, 1, 3][i] as number }));
    expect(firstMisplaced(index, moved)).toBe(1);
    const same = [50, 50, 50, 50];
    const skipped = [0, 1, 3].map((step) => ({ step, bytes: 50 }));
    expect(firstMisplaced(same, skipped)).toBe(2);
  });
});
