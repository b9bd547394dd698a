/**
 * The frames worth having decoded around `frame`, nearest need first: the frame itself, then its
 * neighbours, two in the direction of travel for each one behind. Only frames of the clip (0 to
 * count - 1), at most `most`.
 */
export function wantedFrames(
  frame: number,
  direction: 1 | -1,
  count: number,
  most: number,
): readonly number[] {
  const wanted: number[] = [];
  const add = (index: number) => {
    if (index >= 0 && index < count && wanted.length < most) wanted.push(index);
  };
  add(frame);
  for (let behind = 1, ahead = 1; wanted.length < most; behind++, ahead += 2) {
    if (ahead > count && behind > count) break;
    add(frame + direction * ahead);
    add(frame - direction * behind);
    add(frame + direction * (ahead + 1));
  }
  return wanted;
}

/** A run of frames to extract together, both ends inclusive. */
export interface FrameRange {
  readonly from: number;
  readonly to: number;
}

/**
 * The block of `size` frames that holds `frame`, cut at the end of the clip:
 * extraction works in whole blocks.
 */
export function blockOf(frame: number, count: number, size: number): FrameRange {
  const from = Math.floor(frame / size) * size;
  return { from, to: Math.min(count, from + size) - 1 };
}
