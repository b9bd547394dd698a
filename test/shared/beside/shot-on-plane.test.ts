import { describe, expect, it } from "vitest";
import { exampleCamera } from "../../../src/main/example/example-camera.ts";
import { exampleMotion, examplePixel } from "../../../src/main/example/example-motion.ts";
import { PICTURE, TRUE_CAMERA } from "../../../src/main/example/example-scene.ts";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import type { ExampleVariant } from "../../../src/main/example/example-variant.ts";
import { laidOver, mapped } from "../../../src/shared/beside/laid-over.ts";
import { commonPlace, ORIGINS } from "../../../src/shared/beside/origins.ts";
import { type ShotOnPlane, shotOnPlane } from "../../../src/shared/beside/shot-on-plane.ts";
import { refuse, unwrap } from "../../../src/shared/quantity/result.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const { startS, releaseS } = exampleMotion();
const MEASURED = {
  quantities: {
    releaseTime: { value: releaseS, u: 5e-4, unit: "s", how: "" },
    peakAcceleration: { value: 210, u: 4, unit: "m/s²", how: "" },
  },
  budget: {},
  ...{ releaseClipS: releaseS, startClipS: startS, startClipU: 2e-3, captureRateHz: null },
} as const;

/** The example on its plane, as its builder believes it to be. */
function example(seed: number, variant: ExampleVariant = "plain", patch: Partial<Shot> = {}): ShotOnPlane {
  const session = exampleSession(seed, variant);
  const shot = { ...session.shots[0]!, id: `seed ${seed}`, ...patch };
  const camera = exampleCamera(variant);
  const pts = Array.from({ length: camera.frames }, (_, i) => i);
  const facts = { timeBase: [1, 30], pts, ...PICTURE, rotationDeg: 0 } as unknown as ClipFacts;
  return shotOnPlane(filmedShot({ ...session, shots: [shot] }, shot), facts, MEASURED)!;
}

const frameAt = (timeS: number) => Math.round(timeS * TRUE_CAMERA.captureRateHz);
/** At rest, in the push, at release and in flight. */
const FRAMES = [frameAt(startS) - 10, frameAt(startS) + 60, frameAt(releaseS), frameAt(releaseS) + 45];

describe("two views of one launch", () => {
  // Each rod is known to 0.12 %, a turn of 15° ± 0.5° lengths across to 0.23 %: within 900 px of what falls
  // together that is 2.7 px, with 0.9 px of the place itself. Left in, a turn shows 3.5 %, some 30 px.
  const OFF_PX = 3 * Math.hypot(2.7, 0.9);

  it.each(["plain", "turned", "shake", "lens"] as const)(
    "fall together where the airframe was, all along its path: %s over plain",
    (variant) => {
      const pair = [example(1), example(2, variant)] as const;
      for (const origin of ORIGINS) {
        const place = unwrap(commonPlace(pair, origin));
        for (const frame of FRAMES) {
          const { matrix, bendPx } = unwrap(laidOver(pair, place, [frame, frame]));
          for (const target of ["nose", "tail"] as const) {
            const there = mapped(matrix, examplePixel(target, frame, variant)).at;
            const here = examplePixel(target, frame);
            expect(Math.hypot(there[0] - here[0], there[1] - here[1])).toBeLessThan(OFF_PX + bendPx);
          }
        }
      }
    },
  );

  it("know release less well than first motion: the speed times the u of the instant", () => {
    const pair = [example(1), example(2)] as const;
    const rest = unwrap(commonPlace(pair, "airframe at first motion"));
    const release = unwrap(commonPlace(pair, "airframe at release"));
    expect(rest.point).toBe("nose");
    const sideways = Math.SQRT2 * 13.9 * 5e-4; // two of them, at the example's release speed
    expect(release.u).toBeGreaterThan(0.95 * sideways);
    expect(release.u).toBeLessThan(1.1 * Math.hypot(sideways, rest.u));
    expect(rest.u).toBeLessThan(0.002);
  });
});

it("says what two shots lack to fall together, and which of them", () => {
  const good = example(1);
  const late = example(2, "plain", {
    marks: exampleSession(2).shots[0]!.marks.filter(({ frame }) => frame > FRAMES[2]! + 3),
  });
  const bare = { ...example(3), rod: () => refuse("no-rod") };
  const code = (...ask: Parameters<typeof commonPlace>) => {
    const found = commonPlace(...ask);
    return found.ok ? "ok" : `${found.code} ${found.numbers.side ?? ""}`;
  };
  expect(code([good, late], "airframe at release")).toBe("no-marks 1");
  expect(code([late, good], "airframe at first motion")).toBe("no-marks 0");
  expect(code([good, bare], "scale rod")).toBe("no-rod 1");
  expect(code([{ ...good, pointNames: ["wing"] }, good], "airframe at release")).toBe("no-common-point ");
  expect(commonPlace([good, good], "scale rod")).toMatchObject({ ok: true, value: { u: 0, point: null } });
});

it("brings a rod that stood farther off than the flight to where it would be seen on the flight plane", () => {
  const setting = (nearerM: number) => ({
    ...{ distanceM: { value: 9, u: 0.1 }, nearerM: { value: nearerM, u: 0.05 } },
    turnRad: { value: 0, u: 0 },
  });
  const [level, nearer] = [0, 0.3].map((m) => example(1, "plain", { setting: setting(m) }));
  const middle = [PICTURE.width / 2, PICTURE.height / 2] as const;
  const fromMiddle = (one: ShotOnPlane) => {
    const [at, ahead] = [unwrap(one.rod()).at, one.mapOf(0)!(middle)];
    return [at[0] - ahead[0], at[1] - ahead[1]];
  };
  // The rod is as far from the line straight ahead as before, though a metre of the flight is more pixels.
  const [before, now] = [fromMiddle(level!), fromMiddle(nearer!)];
  expect(nearer!.scale.value).toBeCloseTo(level!.scale.value * (1 - 0.3 / 9), 9);
  expect(now[0]).toBeCloseTo(before[0]!, 9);
  expect(now[1]).toBeCloseTo(before[1]!, 9);
  const picks = (0.4 * nearer!.scale.value) / Math.SQRT2;
  expect(unwrap(nearer!.rod()).u).toBeCloseTo(
    Math.hypot(picks, (Math.hypot(now[0]!, now[1]!) * (1 - 0.3 / 9) * 0.05) / 9),
    6,
  );
});

it("gives nothing of a shot that has lost its scale, and says how its view is known", () => {
  const session = exampleSession(1);
  const shot = { ...session.shots[0]!, scale: null };
  const filmed = filmedShot({ ...session, shots: [shot] }, shot);
  const facts = { timeBase: [1, 30], pts: [0, 1], ...PICTURE, rotationDeg: 0 } as unknown as ClipFacts;
  expect(shotOnPlane(filmed, facts, MEASURED)).toBeNull();
  expect(example(1)).toMatchObject({ view: "square", upright: true, moves: false, bends: false });
  expect(example(1, "plain", { plumb: null })).toMatchObject({ upright: false });
  expect(example(1, "shake")).toMatchObject({ moves: true });
  expect(example(1, "lens")).toMatchObject({ bends: true });
  expect(example(1, "turned")).toMatchObject({ view: "turned" });
});
