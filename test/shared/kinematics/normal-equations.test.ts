import { describe, expect, it } from "vitest";
import { motionBasis } from "../../../src/shared/kinematics/motion-basis.ts";
import { normalEquations, type PoseInformation } from "../../../src/shared/kinematics/normal-equations.ts";
import { createChance } from "../../../src/shared/quantity/chance.ts";
import { STANDARD_GRAVITY } from "../../../src/shared/quantity/gravity.ts";

const DIRECTION = 0.4;

/**
 * Frames before, in and after the push, one of them exactly at release, with any pose information whatever.
 */
function poses(count: number): PoseInformation[] {
  const chance = createChance(3);
  return Array.from({ length: count }, (_, i) => ({
    timeS: (0.16 * i) / (count - 1),
    weight: 1 + chance.uniform(),
    weightAcross: 1 + chance.uniform(),
    alongArm: chance.normal(),
    acrossArm: chance.normal(),
    turning: 1 + chance.uniform(),
    eta: [chance.normal(), chance.normal(), chance.normal()] as const,
    constant: 1 + chance.uniform(),
  }));
}

/**
 * The same sums written out frame by frame: sum BᵀΛB and BᵀΛ(q - fall) with B the basis
 * row for each coordinate.
 */
function frameByFrame(all: readonly PoseInformation[], basis: ReturnType<typeof motionBasis>) {
  const k = basis.size;
  const n = 3 * k;
  const gram = new Float64Array(n * n);
  const moment = new Float64Array(n);
  let constant = 0;
  for (const pose of all) {
    const row = basis.row(pose.timeS, 0);
    const flown = Math.max(0, pose.timeS - basis.releaseS);
    const fall = [
      (-STANDARD_GRAVITY * Math.sin(DIRECTION) * flown ** 2) / 2,
      (-STANDARD_GRAVITY * Math.cos(DIRECTION) * flown ** 2) / 2,
      0,
    ];
    const information = [
      [pose.weight, 0, pose.alongArm],
      [0, pose.weightAcross, pose.acrossArm],
      [pose.alongArm, pose.acrossArm, pose.turning],
    ];
    constant += pose.constant;
    for (let c = 0; c < 3; c++) {
      const pulled = information[c]!.reduce((sum, x, d) => sum + x * fall[d]!, 0);
      constant += -2 * pose.eta[c]! * fall[c]! + pulled * fall[c]!;
      for (let i = 0; i < k; i++) {
        moment[c * k + i]! += row[i]! * (pose.eta[c]! - pulled);
        for (let d = 0; d < 3; d++) {
          for (let j = 0; j < k; j++) {
            gram[(c * k + i) * n + d * k + j]! += information[c]![d]! * row[i]! * row[j]!;
          }
        }
      }
    }
  }
  return { gram, moment, constant };
}

describe("normalEquations", () => {
  it.each([
    ["at rest before the start", true, 200],
    ["moving from the first frame on", false, 200],
    ["with fewer frames than knots", true, 9],
  ])("gives what summing frame by frame gives: %s", (_, atRest, count) => {
    const basis = motionBasis({
      atRest,
      startS: atRest ? 0.02 : 0,
      releaseS: 0.1,
      endS: 0.16,
      pushIntervals: 12,
      flightIntervals: 4,
      crowding: 9,
      loosest: 10,
    });
    const all = poses(count);
    // Room that was used before: nothing of it may be left.
    const room = new Float64Array(9 * basis.size * basis.size).fill(7);
    const found = normalEquations({ poses: all, coordinates: 100, directionRad: DIRECTION }, basis, room);
    const expected = frameByFrame(all, basis);
    const n = 3 * basis.size;
    expect(found.constant / expected.constant).toBeCloseTo(1, 12);
    for (let i = 0; i < n; i++) {
      const scale = Math.abs(expected.moment[i]!) + 1e-9;
      expect(Math.abs(found.moment[i]! - expected.moment[i]!) / scale, `moment ${i}`).toBeLessThan(1e-7);
      for (let j = 0; j <= i; j++) {
        const size = Math.sqrt(expected.gram[i * n + i]! * expected.gram[j * n + j]!) + 1e-300;
        const off = Math.abs(found.gram[i * n + j]! - expected.gram[i * n + j]!) / size;
        expect(off, `${i}, ${j}`).toBeLessThan(1e-10);
      }
    }
  });
});
