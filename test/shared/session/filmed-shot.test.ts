import { describe, expect, it } from "vitest";
import { exampleSession } from "../../../src/main/example/example-session.ts";
import { filmedShot } from "../../../src/shared/session/filmed-shot.ts";
import { measurementFaults } from "../../../src/shared/session/input-faults.ts";
import type { Camera, Session, Shot } from "../../../src/shared/session/schema.ts";

const example = exampleSession(1);
const [shot] = example.shots;
const [camera] = example.cameras;
const named = (id: string, cameraId: string | null): Shot => ({ ...shot!, id, cameraId });
const other: Camera = { ...camera!, id: "other" };
const session: Session = {
  ...example,
  cameras: [other, camera!],
  shots: [
    named("a", camera!.id),
    named("b", "other"),
    named("c", camera!.id),
    named("d", null),
    named("e", null),
  ],
};
const filmed = (at: number) => filmedShot(session, session.shots[at]!);

describe("filmedShot", () => {
  it("finds the camera that filmed it, and every shot of the same camera in its place", () => {
    expect(filmed(2)).toMatchObject({ shotAt: 2, camera, cameraAt: 1 });
    expect(filmed(2).ofSameCamera.map(({ shot: { id }, shotAt }) => [id, shotAt])).toEqual([
      ["a", 0],
      ["c", 2],
    ]);
    expect(filmed(1)).toMatchObject({ camera: other, cameraAt: 0 });
  });

  it("has no camera where none is said, and shares none with another such shot", () => {
    expect(filmed(3).camera).toBeNull();
    expect(filmed(3).ofSameCamera.map(({ shot: { id } }) => id)).toEqual(["d"]);
  });

  it("tells where in the document its own numbers and its camera's stand, and looks at no other's", () => {
    const broken: Session = {
      ...session,
      cameras: session.cameras.map((one) => ({ ...one, captureRateHz: { value: -1, u: 0 } })),
      shots: session.shots.map((one) => ({ ...one, scale: { ...one.scale!, rodM: { value: -1, u: 0 } } })),
    };
    const paths = measurementFaults(filmedShot(broken, broken.shots[2]!)).map(({ path }) => path.slice(0, 2));
    expect(new Set(paths.map((path) => path.join(" ")))).toEqual(new Set(["cameras 1", "shots 2"]));
  });
});
