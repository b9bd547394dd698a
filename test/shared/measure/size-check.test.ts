import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { expectedMotion } from "../../../src/shared/camera-plan/expected-motion.ts";
import { CAMERA_PLAN_DEFAULTS } from "../../../src/shared/camera-plan/plan-input.ts";
import { plannedSession } from "../../../src/shared/camera-plan/planned-shot.ts";
import { plannedView } from "../../../src/shared/camera-plan/planned-view.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { type MeasuringSetUp, measuringSetUp } from "../../../src/shared/measure/measuring-set-up.ts";
import { sizeCheck } from "../../../src/shared/measure/size-check.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import type { Measured } from "../../../src/shared/quantity/measured.ts";
import { unwrap } from "../../../src/shared/quantity/result.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Point, Session, Shot } from "../../../src/shared/session/schema.ts";
import { ofShot } from "../../support/notice-codes.ts";

const example = exampleSession(1);

function setUpOf(session: Session): MeasuringSetUp {
  const { setUp } = measuringSetUp(filmedShot(session, session.shots[0]!), null);
  return setUp!;
}

/** The session with another distance taped, or none. */
function taped(session: Session, apartM: Measured | null): Session {
  const [airframe] = session.airframes;
  const centreOfGravity = { ...airframe!.centreOfGravity!, apartM };
  return { ...session, airframes: [{ ...airframe!, centreOfGravity }] };
}

function withShot(change: (shot: Shot) => Partial<Shot>): Session {
  return { ...example, shots: example.shots.map((shot) => ({ ...shot, ...change(shot) })) };
}

function withBodies(body: (id: string) => Point["body"]): Session {
  return { ...example, points: example.points.map((point) => ({ ...point, body: body(point.id) })) };
}

const rodBy = (factor: number) =>
  withShot(({ scale }) => ({
    scale: { ...scale!, rodM: { ...scale!.rodM, value: scale!.rodM.value * factor } },
  }));

describe("a taped distance on the airframe", () => {
  it("is seen within its u in 90 to 99 of 100 shots at k = 2, all inputs and a yaw of 3\u00b0 drawn", () => {
    const plan = CAMERA_PLAN_DEFAULTS;
    const motion = unwrap(expectedMotion(plan.shot));
    const view = plannedView(plan, motion);
    const chance = createChance(77);
    const z = Array.from({ length: 120 }, (_, seed) => {
      // An airframe yawed so far looks as long as the plan's: it is longer by the cosine.
      const length = plan.spacingM / Math.cos(((3 * Math.PI) / 180) * chance.normal());
      const apartM = { value: length + 0.0005 * chance.normal(), u: 0.0005 };
      const check = sizeCheck(setUpOf(taped(plannedSession(plan, motion, view, seed, "all"), apartM)), []);
      return (check!.seenM.value - apartM.value) / Math.hypot(check!.seenM.u, apartM.u);
    });
    const inside = z.filter((one) => Math.abs(one) < 2).length / z.length;
    expect(inside).toBeGreaterThanOrEqual(0.9);
    expect(inside).toBeLessThanOrEqual(0.99);
  });

  it("has the rod's uncertainty whole, and that of the hand marks behind followed ones once for all of them", () => {
    const u = (session: Session) => sizeCheck(setUpOf(session), [])!.seenM;
    const plain = u(example);
    const vague = u(
      withShot(({ scale }) => ({
        scale: { ...scale!, rodM: { ...scale!.rodM, u: 0.03 * scale!.rodM.value } },
      })),
    );
    expect(Math.sqrt(vague.u ** 2 - plain.u ** 2) / plain.value).toBeCloseTo(0.03, 2);
    const [shot] = example.shots;
    const first = Math.min(...shot!.marks.map(({ frame }) => frame));
    const followed = u(
      withShot(({ marks }) => ({
        marks: marks.map((mark) =>
          mark.frame === first ? { ...mark, u: 3 } : { ...mark, by: "follower" as const },
        ),
      })),
    );
    const { scale } = measureShot(example, shot!.id, null).measurement!;
    expect(Math.sqrt(followed.u ** 2 - plain.u ** 2) / (3 * Math.SQRT2 * scale.value)).toBeCloseTo(1, 1);
  });

  it("counts only marks that the fit kept", () => {
    const setUp = setUpOf(example);
    const bad = setUp.marks.findIndex(({ point }) => point === setUp.axis.forward);
    const marks = setUp.marks.map((mark, i) => (i === bad ? { ...mark, x: mark.x + 1 } : mark));
    const off = { ...setUp, marks };
    const [kept, whole] = [sizeCheck(off, [marks[bad]!])!.seenM, sizeCheck(off, [])!.seenM];
    expect(kept.value).toBeCloseTo(sizeCheck(setUp, [])!.seenM.value, 4);
    expect(Math.abs(whole.value - kept.value)).toBeGreaterThan(0.001);
  });

  it("is taken from the places of the two points where no distance is given, and left out without either", () => {
    const place = (forward: number, up: number) => ({
      forwardM: { value: forward, u: 0.003 },
      upM: { value: up, u: 0.1 },
    });
    const bodies = withBodies((id) => (id === "nose" ? place(0.2, 0.01) : place(-0.17, 0.01)));
    const { statedM } = sizeCheck(setUpOf(taped(bodies, null)), [])!;
    expect(statedM.value).toBeCloseTo(0.37, 9);
    expect(statedM.u).toBeCloseTo(0.003 * Math.SQRT2, 9);
    expect(sizeCheck(setUpOf(bodies), [])!.statedM).toEqual(example.airframes[0]!.centreOfGravity!.apartM);
    expect(
      sizeCheck(
        setUpOf(
          taped(
            withBodies(() => null),
            null,
          ),
        ),
        [],
      ),
    ).toBeNull();
  });

  it("warns of a rod typed 3 % too long, and by how much, and not of a true one", () => {
    const warned = (session: Session) =>
      measureShot(session, session.shots[0]!.id, null).notices.find(
        ({ code }) => code === ofShot("size-differs"),
      );
    expect(warned(example)).toBeUndefined();
    const notice = warned(rodBy(1.03));
    expect(notice?.cause).toMatch(
      /^By the scale, nose and tail are 0\.381\d* ± .* by tape: .* 2\.9\d? % too large\.$/,
    );
  });
});
