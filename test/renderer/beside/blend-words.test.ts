import { expect, it } from "vitest";
import { blendText, notLaidText } from "../../../src/renderer/beside/blend-words.ts";
import type { LaidOver } from "../../../src/shared/beside/laid-over.ts";
import type { CommonPlace } from "../../../src/shared/beside/origins.ts";
import type { ShotOnPlane } from "../../../src/shared/beside/shot-on-plane.ts";

const LAID: LaidOver = {
  matrix: [1, 0, 0, 0, 1, 0, 0, 0, 1],
  enlarged: { value: 1.25, u: 0.004 },
  ...{ placeUPx: 1.52, bendPx: 0.2 },
};
const PLACE: CommonPlace = {
  ...{ origin: "airframe at release", point: "nose", u: 0.0113 },
  places: [
    { at: [0, 0], u: 0 },
    { at: [0, 0], u: 0 },
  ],
};
const shot = (shotId: string, part: Partial<ShotOnPlane> = {}) =>
  ({ shotId, view: "square", upright: true, direction: "right", ...part }) as ShotOnPlane;
const said = (second: ShotOnPlane, place = PLACE, laid = LAID) =>
  blendText({ shots: [shot("a"), second], place }, laid, ["Early", "Late"]).join(" ");

it("says what falls together and how well, how large the second is drawn, and what is not matched", () => {
  const text = said(shot("b"));
  expect(text).toContain("Together: the nose at release, to ± 11 mm (± 1.5 px of Early).");
  expect(text).toContain("by each shot’s own scale and plumb or level.");
  expect(text).toContain("Late is drawn 1.250 ± 0.004 times its size there.");
  expect(text).toContain("Perspective is not matched: both are taken as seen square on");
  expect(text).toContain("Not together: what stands nearer or farther");
  expect(text).not.toMatch(/mirrored|rod|lens/i);
});

it("says it of each shot where they differ", () => {
  const text = said(shot("b", { view: "known points", direction: "left" }));
  expect(text).toContain("plumb or level (Early), known points (Late).");
  expect(text).toContain("Late flies the other way, and is mirrored.");
  expect(text).toContain("Perspective is not matched: Early is taken");
  expect(said(shot("b", { upright: false }))).toContain("picture’s edge (Late)");
  const points = { view: "known points" } as const;
  const both = { shots: [shot("a", points), shot("b", points)], place: PLACE } as const;
  expect(blendText(both, LAID, ["Early", "Late"])).toContain("The perspective of both planes is matched.");
});

it("says what a rod must have done, how far a lens is off, and that a shot lies over itself", () => {
  const rod = said(shot("b"), { ...PLACE, origin: "scale rod", point: null });
  expect(rod).toContain("Together: the middle of the scale rod");
  expect(rod).toContain("only if the rod stood at the same place");
  expect(said(shot("b"), PLACE, { ...LAID, bendPx: 2.31 })).toContain("up to 2.3 px off");
  expect(said(shot("a"))).toBe("Early lies over itself.");
});

it("names the frame whose camera's place is not known", () => {
  expect(notLaidText("untied-second", [4, 9], ["Early", "Late"])).toContain(
    "in frame 9 of Late is not known",
  );
  expect(notLaidText("untied-first", [4, 9], ["Early", "Late"])).toContain(
    "in frame 4 of Early is not known",
  );
});
