import { type FoundTarget, findTargets } from "../../shared/propose/find-targets.ts";
import type { Extent, Place } from "../viewport/viewport.ts";
import type { Picture } from "./pictures.ts";

const AROUND = 72; // px of the picture about the place: all of a target, and what lies around it

/**
 * The target whose middle lies nearest to a place, within a reach, both px of the picture; null where there
 * is none, or only the small picture is there yet.
 */
export function targetUnder(
  picture: Picture | null,
  { width, height }: Extent,
  [x, y]: Place,
  reach: number,
): FoundTarget | null {
  if (picture === null || picture.size !== "full") return null;
  const [left, top] = [Math.max(0, Math.floor(x) - AROUND), Math.max(0, Math.floor(y) - AROUND)];
  const [right, bottom] = [Math.min(width, Math.ceil(x) + AROUND), Math.min(height, Math.ceil(y) + AROUND)];
  if (right <= left || bottom <= top) return null;
  const [w, h] = [right - left, bottom - top];
  const pen = new OffscreenCanvas(w, h).getContext("2d", { alpha: false, willReadFrequently: true });
  if (pen === null) return null;
  pen.drawImage(picture.image, left, top, w, h, 0, 0, w, h);
  const { data } = pen.getImageData(0, 0, w, h);
  // luma of ITU-R BT.709, 3.2
  const grey = Float32Array.from({ length: w * h }, (_, i) => {
    const [r = 0, g = 0, b = 0] = data.subarray(4 * i, 4 * i + 3);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  });
  const places = findTargets({ width: w, height: h, data: grey }).map((one) => ({
    ...one,
    at: [one.at[0] + left, one.at[1] + top] as const,
  }));
  const off = ({ at }: FoundTarget) => Math.hypot(at[0] - x, at[1] - y);
  const near = places.filter((one) => off(one) <= reach).sort((a, b) => off(a) - off(b));
  return near[0] ?? null;
}
