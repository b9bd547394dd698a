import type { GreyImage } from "../../shared/follow/grey-image.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";

/** Pixel formats with a luma plane of their own; anything else is first turned into one that has. */
const HAS_LUMA = /^(yuv|nv|gray|p0\d\d|y2\d\d)/;

/**
 * ffmpeg's filters to the luma plane as it is coded; ffmpeg turns the picture upright by itself, before them.
 */
export function planeFilters(facts: ClipFacts): readonly string[] {
  const filters = [...(HAS_LUMA.test(facts.pixelFormat) ? [] : ["format=yuv444p"]), "extractplanes=y"];
  // Only then: a scaler in front may hand on a format that has no luma plane to take.
  if (facts.pixelAspect[0] !== facts.pixelAspect[1]) {
    filters.push(`scale=${facts.width}:${facts.height}:flags=bicubic`);
  }
  return filters;
}

/** Bytes of one frame's plane as those filters leave it. */
export function bytesOfPlane(
  facts: Pick<ClipFacts, "width" | "height" | "pixelFormat" | "bitDepth">,
): number {
  return facts.width * facts.height * (isDeep(facts) ? 2 : 1);
}

/** The picture of a plane: its samples as they are, or those of more than 8 bits on the scale 0 to 255. */
export function pictureOf(plane: Uint8Array, facts: ClipFacts): GreyImage {
  const { width, height, bitDepth } = facts;
  return { data: isDeep(facts) ? eightBitScale(plane, bitDepth) : plane, width, height };
}

function isDeep({ pixelFormat, bitDepth }: Pick<ClipFacts, "pixelFormat" | "bitDepth">): boolean {
  return HAS_LUMA.test(pixelFormat) && bitDepth > 8;
}

/**
 * Little-endian 16-bit samples on the scale 0 to 255, with their fractions, in memory that threads share. A
 * plain loop, because it runs in the host's own thread: 2 million samples take it some milliseconds, and
 * `Float32Array.from` with a function a hundred.
 */
function eightBitScale(bytes: Uint8Array, bitDepth: number): Float32Array {
  const scale = 2 ** (8 - bitDepth);
  const samples = new Float32Array(new SharedArrayBuffer(2 * bytes.length));
  for (let i = 0; i < samples.length; i++) {
    samples[i] = scale * ((bytes[2 * i] as number) + 256 * (bytes[2 * i + 1] as number));
  }
  return samples;
}
