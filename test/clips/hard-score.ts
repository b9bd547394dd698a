import type { FollowedMark } from "../../src/shared/follow/followed.ts";
import type { HardCase } from "./hard-cases.ts";
import { carriedBy } from "./hard-scene.ts";

export interface HardScore {
  readonly name: string;
  readonly kind: string;
  /** Frames in which the point can be seen, the hand mark's own aside. */
  readonly visible: number;
  /** Marks in such frames. */
  readonly marks: number;
  /** Marks more than 1 px off without a word of doubt; where the point is hidden, any mark without doubt. */
  readonly silent: number;
  /** Marks more than 1 px off that are doubted. */
  readonly doubted: number;
  /** px, of each coordinate about their mean; null without marks. */
  readonly medianPx: number | null;
  readonly rmsPx: number | null;
  /** Root mean square of error over stated u, about the mean error. */
  readonly rmsInU: number | null;
  readonly end: string;
}

const FAR_PX = 1;

/** Holds the marks of the first point against the places it was drawn at. */
export function hardScore(
  { name, kind, pose, points, seen, frames, hopeless = false, handOff = [0, 0] }: HardCase,
  marks: readonly FollowedMark[],
  end: string,
): HardScore {
  const [point] = points;
  const visible = Array.from({ length: frames - 1 }, (_, i) => i + 1).filter(seen);
  const off = marks
    .filter(({ frame }) => seen(frame) && !hopeless)
    .map(({ frame, at, u, doubts }) => {
      const [x, y] = carriedBy(pose(frame), point!);
      return { x: at[0] - x - handOff[0], y: at[1] - y - handOff[1], u, sure: doubts.length === 0 };
    });
  const far = off.filter(({ x, y }) => Math.hypot(x, y) > FAR_PX);
  const blind = marks.filter(
    ({ frame, doubts }) => (hopeless || !seen(frame)) && doubts.length === 0 && !nearly(frame),
  );
  /** A mark of a point half hidden may be good: only one that is off counts. */
  function nearly(frame: number): boolean {
    const mark = marks.find((one) => one.frame === frame)!;
    const [x, y] = carriedBy(pose(frame), point!);
    return !hopeless && Math.hypot(mark.at[0] - x - handOff[0], mark.at[1] - y - handOff[1]) <= FAR_PX;
  }
  const sound = off.filter(({ x, y }) => Math.hypot(x, y) <= FAR_PX);
  const [mx, my] = [mean(sound.map(({ x }) => x)), mean(sound.map(({ y }) => y))];
  const each = sound.flatMap(({ x, y, u }) => [
    { px: x - mx, u },
    { px: y - my, u },
  ]);
  return {
    name,
    kind,
    visible: hopeless ? 0 : visible.length,
    marks: off.length,
    silent: far.filter(({ sure }) => sure).length + blind.length,
    doubted: far.filter(({ sure }) => !sure).length,
    medianPx: each.length === 0 ? null : middle(sound.map(({ x, y }) => Math.hypot(x - mx, y - my))),
    rmsPx: each.length === 0 ? null : Math.sqrt(mean(each.map(({ px }) => px * px))),
    rmsInU: each.length === 0 ? null : Math.sqrt(mean(each.map(({ px, u }) => (px / u) ** 2))),
    end,
  };
}

const mean = (values: readonly number[]) =>
  values.reduce((sum, one) => sum + one, 0) / Math.max(1, values.length);

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)]!;
}

export function scoreLine(score: HardScore): string {
  const { visible, marks, silent, doubted, medianPx, rmsPx, rmsInU, end } = score;
  const px = (value: number | null) => (value === null ? "-" : value.toFixed(3));
  const over = `over 1 px: ${silent} silent, ${doubted} doubted`;
  const off = `median ${px(medianPx)}, rms ${px(rmsPx)} px = ${rmsInU === null ? "-" : rmsInU.toFixed(2)} u`;
  return `${marks} of ${visible} frames; ${over}; ${off}${end === "" ? "" : `; ends: ${end}`}`;
}

/** All cases together. */
export function scoresInAll(scores: readonly HardScore[]) {
  const sum = (of: (score: HardScore) => number) => scores.reduce((total, one) => total + of(one), 0);
  const marks = sum((score) => score.marks);
  const inU = scores.flatMap(({ rmsInU }) => (rmsInU === null ? [] : [rmsInU]));
  const fit = inU.filter((u) => u >= 0.8 && u <= 1.25).length;
  const most = Math.max(0, ...inU);
  return {
    marks,
    silent: sum((score) => score.silent),
    followedPercent: (100 * marks) / sum((score) => score.visible),
    medianPx: middle(scores.flatMap(({ medianPx }) => (medianPx === null ? [] : [medianPx]))),
    inU: `${fit} of ${inU.length} cases; median ${middle(inU).toFixed(2)}, most ${most.toFixed(2)}`,
  };
}
