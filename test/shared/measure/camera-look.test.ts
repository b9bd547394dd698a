import { expect, it } from "vitest";
import { cameraSeen, stretchesToLookAt } from "../../../src/shared/measure/camera-look.ts";
import type { Mark } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";

const marks = (...frames: number[]): Mark[] =>
  frames.map((frame) => ({ pointId: "nose", frame, x: 1, y: 1, u: 1, by: "hand" as const }));

it("looks at shots far apart by themselves, and at those whose frames meet together", () => {
  const shots = [
    { marks: marks(300, 320) },
    { marks: marks(40, 60) },
    { marks: marks(62, 70) },
    { marks: [] },
  ];
  expect(stretchesToLookAt(shots, 400)).toEqual([
    { from: 35, to: 75 },
    { from: 295, to: 325 },
  ]);
  expect(stretchesToLookAt([{ marks: [] }], 400)).toEqual([{ from: 0, to: 399 }]);
});

it("judges each shot of a clip by the frames looked at for it, not by those of another", () => {
  const at = (frame: number, shift: number) => ({
    frame,
    corners: [shift, 0, 100 + shift, 0, 100 + shift, 50, shift, 50] as never,
    u: [0.05, 0.1] as [number, number],
  });
  const facts = {
    pts: variantFacts("pan").pts,
    camera: { asked: [10, 15, 20, 60, 65, 70], frames: [at(10, 0), at(15, 0), at(20, 0)] },
  };
  expect(cameraSeen({ marks: marks(12, 18) }, facts)).toEqual({ moves: false, shiftPx: 0 });
  expect(cameraSeen({ marks: marks(62, 68) }, facts)).toBe("unseen");
  expect(cameraSeen({ marks: marks(90, 95) }, facts)).toBeNull();
  const moved = { ...facts, camera: { ...facts.camera, frames: [at(10, 0), at(15, 4), at(20, 9)] } };
  expect(cameraSeen({ marks: marks(12, 18) }, moved)).toEqual({ moves: true, shiftPx: 9 });
});
