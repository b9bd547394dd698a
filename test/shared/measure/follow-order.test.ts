import { describe, expect, it } from "vitest";
import { examplePixel } from "../../../src/main/example/example-motion.ts";
import type { TargetId } from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { followerMarks, followOrder, handMarksOf } from "../../../src/shared/measure/follow-order.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Mark, Session } from "../../../src/shared/session/schema.ts";

const session = exampleSession(1);
const [shot] = session.shots;
const first = handMarksOf(shot!, "nose")[0]!;

describe("followOrder", () => {
  it("gathers clip, seed, hand marks and how much of a frame the shutter is open", () => {
    const order = followOrder(filmedShot(session, shot!), "nose", first.frame, 177)!;
    expect(order).toMatchObject({ clip: shot!.clip, point: "nose", seed: first, to: 177 });
    expect(order.hands).toHaveLength(shot!.marks.filter(({ pointId }) => pointId === "nose").length);
    expect(order.exposureShare).toBeCloseTo(960 / 4000, 3);
    expect(
      followOrder(filmedShot({ ...session, cameras: [] }, shot!), "nose", first.frame, 177)!.exposureShare,
    ).toBeNull();
  });

  it("is null without a hand mark in that frame or without a clip, and throws for a point that is not there", () => {
    expect(followOrder(filmedShot(session, shot!), "nose", first.frame - 1, 177)).toBeNull();
    expect(followOrder(filmedShot(session, { ...shot!, clip: null }), "nose", first.frame, 177)).toBeNull();
    expect(() => followOrder(filmedShot(session, shot!), "wing", 4, 177)).toThrow(/wing/);
  });
});

it("followerMarks leaves frames with a hand mark out, and rounds to a thousandth of a pixel", () => {
  const at = (frame: number) => ({
    frame,
    at: [1.23456, 2.34567] as const,
    u: 0.03649,
    likeness: 1,
    repeat: false,
    renewals: 0,
    doubts: [],
  });
  const followed = {
    runs: [{ marks: [at(first.frame), at(1)], radiusPx: 12, handFrames: [], commonU: 0.4 }],
    met: [],
    end: null,
  };
  expect(followerMarks(shot!, "nose", followed)).toEqual([
    { pointId: "nose", frame: 1, x: 1.235, y: 2.346, u: 0.036, by: "follower" },
  ]);
});

describe("a measurement from the follower's marks", () => {
  /**
   * One hand mark of each target, good to u, and the follower's in every other frame,
   * 0.04 px about the truth.
   */
  function followedSession(handU: number): Session {
    const chance = createChance(6);
    const marks: Mark[] = [];
    for (let frame = first.frame; frame < 178; frame++) {
      for (const pointId of ["nose", "tail"] as const satisfies readonly TargetId[]) {
        const [x, y] = examplePixel(pointId, frame);
        const by = frame === first.frame ? "hand" : "follower";
        const u = by === "hand" ? handU : 0.04;
        marks.push({ pointId, frame, x: x + 0.04 * chance.normal(), y: y + 0.04 * chance.normal(), u, by });
      }
    }
    return { ...session, shots: [{ ...shot!, marks }] };
  }
  const uOf = (handU: number) => measureShot(followedSession(handU), shot!.id, null).measurement!.quantities;

  it("bears the doubt of the hand marks they hang on: pitch by √2 · 0.4 px over the 260.8 px between the targets", () => {
    const [loose, tight] = [uOf(0.4), uOf(0.001)];
    const added = Math.sqrt(loose.pitchAtRelease!.u ** 2 - tight.pitchAtRelease!.u ** 2);
    const apartPx = 0.37 / 1.4187e-3;
    expect(added / ((Math.SQRT2 * 0.4) / apartPx)).toBeCloseTo(1, 1);
    // A common offset is none in a speed.
    expect(loose.releaseSpeed!.u / tight.releaseSpeed!.u).toBeCloseTo(1, 2);
  });
});
