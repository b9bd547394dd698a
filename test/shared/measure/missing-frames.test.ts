import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { missingFrames } from "../../../src/shared/measure/missing-frames.ts";
import type { Clock, Shot } from "../../../src/shared/session/schema.ts";
import { variantFacts } from "../../main/example/variant-facts.ts";
import { ofShot } from "../../support/notice-codes.ts";

const EXAMPLE = exampleSession(1);
const [SHOT] = EXAMPLE.shots as [Shot];
const FACTS = variantFacts("plain");
type ByRate = Extract<Clock, { kind: "capture-rate" }>;
const CLOCK = SHOT.clock as ByRate;

/** The example with frames after one taken out: what the file calls 101 was 101 + missing. */
function without(afterFrame: number, missing: number): Shot {
  const marks = SHOT.marks.flatMap((mark) => {
    if (mark.frame <= afterFrame) return [mark];
    return mark.frame <= afterFrame + missing ? [] : [{ ...mark, frame: mark.frame - missing }];
  });
  return { ...SHOT, marks };
}
describe("missing frames", () => {
  it("are found in the motion of the marks, and said until the clock allows for them", () => {
    const shot = without(120, 2);
    expect(missingFrames(shot, CLOCK, EXAMPLE.points, FACTS)).toEqual([
      { afterFrame: 120, missing: 2, by: "motion" },
    ]);
    const said = (one: Shot) =>
      measureShot({ ...EXAMPLE, shots: [one] }, one.id, FACTS).notices.map(({ code }) => code);
    expect(said(shot)).toContain(ofShot("motion-shows-gaps"));
    const allowed = { ...shot, clock: { ...CLOCK, gaps: [{ afterFrame: 120, missing: 2 }] } };
    expect(said(allowed)).not.toContain(ofShot("motion-shows-gaps"));
  });

  it("are found in the file's timestamps, which count where the motion says the same", () => {
    const pts = FACTS.pts.map((tick) => (tick > 120 ? tick + 2 : tick));
    const facts = { ...FACTS, pts };
    expect(missingFrames(without(120, 2), CLOCK, EXAMPLE.points, facts)).toEqual([
      { afterFrame: 120, missing: 2, by: "stamps" },
    ]);
    const notices = measureShot({ ...EXAMPLE, shots: [without(120, 2)] }, SHOT.id, facts).notices;
    expect(notices.map(({ code }) => code)).toContain(ofShot("stamps-show-gaps"));
  });

  it("are the same in whatever order the session lists its marks", () => {
    const shot = without(120, 2);
    const mixed = { ...shot, marks: shot.marks.toReversed() };
    expect(missingFrames(mixed, CLOCK, EXAMPLE.points, FACTS)).toEqual(
      missingFrames(shot, CLOCK, EXAMPLE.points, FACTS),
    );
  });

  it("are none where none is missing, nor before the launch", () => {
    expect(missingFrames(SHOT, CLOCK, EXAMPLE.points, FACTS)).toEqual([]);
    const early = { ...FACTS, pts: FACTS.pts.map((tick) => (tick > 1 ? tick + 3 : tick)) };
    const notices = measureShot(EXAMPLE, SHOT.id, early).notices;
    expect(notices.map(({ code }) => code)).not.toContain(ofShot("stamps-show-gaps"));
  });
});
