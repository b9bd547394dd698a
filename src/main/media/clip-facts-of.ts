import { basename } from "node:path";
import { type ClipFacts, ClipFactsSchema } from "../../shared/session/clip-facts.ts";
import { bitDepthOf } from "./clip-banner.ts";
import type { ClipListing } from "./list-clip.ts";
import { type FileState, unknownCodec } from "./media-faults.ts";

const RATE_WHEN_UNTOLD_HZ = 25; // what ffmpeg itself assumes of a lone frame without a rate

/**
 * The facts of a clip from its listing. The duration runs from the first shown frame to the end of the last,
 * which is taken to last as long as the mean interval; a lone frame lasts as long as the container says.
 * @throws FaultError codec-unknown when ffmpeg could not tell the picture's size or format
 */
export function clipFactsOf(
  path: string,
  state: FileState,
  { banner, frames, endsEarly, misplacedFrom }: ClipListing,
): ClipFacts {
  const name = basename(path);
  const video = banner.video;
  if (video === null || video.size === null || video.pixelFormat === null) {
    throw unknownCodec(name, video?.codec ?? "none");
  }
  const [num, den] = frames.timeBase;
  const spanS = (((frames.pts.at(-1) ?? 0) - (frames.pts[0] ?? 0)) * num) / den;
  const intervals = frames.pts.length - 1;
  const playbackRateHz = intervals > 0 ? intervals / spanS : (video.rateHz ?? RATE_WHEN_UNTOLD_HZ);
  const rotationDeg = (Math.round(video.turnDeg / 90) * 90) % 360;
  const [width, height] = uprightSize(video.size, video.pixelAspect, rotationDeg);
  return ClipFactsSchema.parse({
    name,
    bytes: state.bytes,
    modifiedMs: state.modifiedMs,
    container: banner.container,
    codec: video.codec,
    pixelFormat: video.pixelFormat,
    bitDepth: bitDepthOf(video.pixelFormat),
    codedWidth: video.size[0],
    codedHeight: video.size[1],
    pixelAspect: video.pixelAspect,
    rotationDeg,
    width,
    height,
    durationS: intervals > 0 ? spanS + spanS / intervals : (banner.durationS ?? 1 / playbackRateHz),
    playbackRateHz,
    captureRateHz: banner.captureRateHz,
    constantRate: isConstant(frames.pts),
    timeBase: frames.timeBase,
    pts: frames.pts,
    keyFrames: frames.keyFrames,
    startS: banner.startS,
    ...(endsEarly ? { endsEarly } : {}),
    ...(misplacedFrom === null ? {} : { misplacedFrom }),
  });
}

/**
 * Size of the upright picture with square pixels. The side that is too short is stretched, rounded to whole
 * pixels, so that no stored pixel is lost; a turn by 90 or 270 degrees swaps the sides after that.
 */
export function uprightSize(
  stored: readonly [number, number],
  pixelAspect: readonly [number, number],
  rotationDeg: number,
): readonly [number, number] {
  const [a, b] = pixelAspect;
  const square: readonly [number, number] =
    a >= b ? [Math.round((stored[0] * a) / b), stored[1]] : [stored[0], Math.round((stored[1] * b) / a)];
  return rotationDeg % 180 === 0 ? square : [square[1], square[0]];
}

function isConstant(pts: readonly number[]): boolean {
  const first = (pts[1] ?? 0) - (pts[0] ?? 0);
  return pts.every((ticks, i) => i === 0 || Math.abs(ticks - (pts[i - 1] as number) - first) <= 1);
}
