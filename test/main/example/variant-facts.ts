import { exampleCamera, TICKS_PER_S } from "../../../src/main/example/example-camera.ts";
import { PICTURE, TRUE_CAMERA } from "../../../src/main/example/example-scene.ts";
import type { ExampleVariant } from "../../../src/main/example/example-variant.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import type { Movement } from "../../../src/shared/session/schema.ts";

/** The facts that an inspection of a variant's clip finds. */
export function variantFacts(variant: ExampleVariant): ClipFacts {
  const { frames, ticks } = exampleCamera(variant);
  return {
    name: "clip.mp4",
    bytes: 1,
    modifiedMs: 0,
    container: "mov,mp4",
    codec: "h264",
    pixelFormat: "yuv420p",
    bitDepth: 8,
    codedWidth: PICTURE.width,
    codedHeight: PICTURE.height,
    pixelAspect: [1, 1],
    rotationDeg: 0,
    width: PICTURE.width,
    height: PICTURE.height,
    durationS: ticks === null ? frames / TRUE_CAMERA.playbackRateHz : ticks.at(-1)! / TICKS_PER_S,
    playbackRateHz: ticks === null ? TRUE_CAMERA.playbackRateHz : (frames * TICKS_PER_S) / ticks.at(-1)!,
    captureRateHz: null,
    constantRate: ticks === null,
    timeBase: ticks === null ? [1, TRUE_CAMERA.playbackRateHz] : [1, TICKS_PER_S],
    pts: ticks === null ? Array.from({ length: frames }, (_, frame) => frame) : [...ticks],
    keyFrames: [0],
    startS: 0,
  };
}

/** How a variant's camera truly moved, as a followed background would tell it without error. */
export function trueMovement(variant: ExampleVariant, referenceFrame: number): Movement {
  const { frames, seen, steadied, timeOf } = exampleCamera(variant);
  const { width, height } = PICTURE;
  const corners = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ] as const;
  const scene = corners.map((corner) => steadied(corner, timeOf(referenceFrame)));
  return {
    referenceFrame,
    picturePx: [width, height],
    lens: null,
    inheritedPx: 0,
    frames: Array.from({ length: frames }, (_, frame) => ({
      frame,
      corners: scene.flatMap((place) => [...seen(place, timeOf(frame))]),
      u: [0, 0],
    })),
  };
}
