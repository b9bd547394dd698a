import { added, type Covariance2, carried } from "../numeric/covariance.ts";
import { entryOf } from "../quantity/known-element.ts";
import type { PxPoint } from "../quantity/point.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import { type Agreement, agreement } from "./agreement.ts";
import { type Freedom, fitShake, type IndexedMark, type ShakeFit } from "./shake-fit.ts";

/** A fixed thing in view, marked in one frame. */
export interface PostMark {
  readonly postId: string;
  readonly frame: number;
  readonly px: PxPoint;
  /** px, standard uncertainty of each coordinate, > 0. */
  readonly uPx: number;
}

export interface ShakeInputs {
  readonly marks: readonly PostMark[];
  /** Frames that are to be steadied, besides those with post marks. */
  readonly frames: readonly number[];
  /** The frame the others are brought to; null for the first with a post mark. */
  readonly referenceFrame: number | null;
  /**
   * Standard uncertainty of a picture's turn (rad) and zoom (relative) where a single post cannot show them.
   * Used as it stands when no frame shows two posts; otherwise the turns and zooms seen in the other frames
   * are used when they are larger.
   */
  readonly unseenTurnRad: number;
  readonly unseenZoom: number;
}

/** Uncertainty of a steadied place, px². */
export interface SteadyCovariance {
  /** From the mark itself, turned and zoomed with its frame. */
  readonly mark: Covariance2;
  /** From this frame's post marks: shared by all points of the frame, independent of other frames. */
  readonly frame: Covariance2;
  /** From the posts' places: much the same for all frames, so systematic. Zero in the reference frame. */
  readonly common: Covariance2;
  readonly total: Covariance2;
}

/** One frame's transform, known. */
export interface SteadyFrame {
  /** px in this frame -> px in the reference frame. */
  steady(px: PxPoint): PxPoint;
  /** The inverse: px in the reference frame -> px in this frame. */
  unsteady(px: PxPoint): PxPoint;
  /** @param markPx [var x, cov, var y] px² of the mark in this frame */
  covariance(px: PxPoint, markPx: Covariance2): SteadyCovariance;
  readonly shiftPx: PxPoint;
  readonly turnRad: number;
  /** Relative: 0 for none. */
  readonly zoom: number;
  readonly posts: number;
}

export type ShakeKind = "shift" | "shift-and-turn" | "shift-turn-and-zoom";

export interface Shake {
  readonly kind: ShakeKind;
  readonly referenceFrame: number;
  /** The frame's transform; null when it is unsupported. */
  at(frame: number): SteadyFrame | null;
  /** Frames asked for that no post ties to the reference, ascending: nothing is guessed for them. */
  readonly unsupported: readonly number[];
  readonly agreement: Agreement;
  /**
   * The post mark farthest from where the fit puts it, in standard uncertainties of that
   * distance. Three posts that show shift, turn and zoom can tell the frame with a wrong mark but
   * not which of its marks it is.
   */
  readonly worst: { readonly postId: string; readonly frame: number; readonly deviation: number };
  /** Places of the posts in the reference frame. */
  readonly posts: ReadonlyMap<string, PxPoint>;
}

const KINDS: readonly { readonly kind: ShakeKind; readonly freedom: Freedom }[] = [
  { kind: "shift", freedom: 2 },
  { kind: "shift-and-turn", freedom: 3 },
  { kind: "shift-turn-and-zoom", freedom: 4 },
];
const ENOUGH = 0.01; // chance above which the simpler transform explains the marks
/**
 * Widest turn (rad) and zoom a camera on a stand or in the hand makes within one clip: keeps
 * weakly tied frames determined.
 */
const WIDEST = 0.1;
const LEAST_TURN = 1e-9; // stands for an unseen turn of 0

/**
 * Takes camera shake and slow pans out: every frame's picture is brought to the reference frame by the
 * transform that its posts show, all transforms and post places being found together (so posts may leave the
 * view while others come in). Of shift, shift and turn, shift, turn and zoom the first is taken that explains
 * the marks (chi-square of a chance above 1 %); the last if none does, and covariances are then enlarged by
 * the square of the Birge ratio. A frame with one post has its shift from it; its turn and zoom are 0 with
 * the scatter of the other frames' as their uncertainty. Frames with no post are not guessed.
 * Pictures must have the lens taken out; a pan of more than some degrees is no similarity any more
 * and shows as disagreement.
 * @returns the transforms; or "no-posts"; "reference-without-post" (`frame`); "not-converged"
 * @throws RangeError on inputs that are not finite, a u <= 0, an unseen u < 0, or two marks
 *   of one post in one frame
 */
export function shake(
  inputs: ShakeInputs,
): Result<Shake, "no-posts" | "reference-without-post" | "not-converged"> {
  check(inputs);
  const { marks } = inputs;
  if (marks.length === 0) return refuse("no-posts");
  const referenceFrame = inputs.referenceFrame ?? Math.min(...marks.map((mark) => mark.frame));
  if (!marks.some((mark) => mark.frame === referenceFrame))
    return refuse("reference-without-post", { frame: referenceFrame });

  const tied = tie(marks, referenceFrame);
  const counts = new Float64Array(tied.frames.length);
  for (const mark of tied.marks) counts[mark.frame]++;
  const shows = counts.some((count, f) => f > 0 && count > 1);
  let chosen: { fit: ShakeFit; kind: ShakeKind; agreement: Agreement } | null = null;
  for (const { kind, freedom } of shows ? KINDS : KINDS.slice(0, 1)) {
    const fit = fitOf(inputs, tied, counts, freedom);
    if (fit === null || !fit.converged) return refuse("not-converged");
    const unknowns = counts.reduce(
      (sum, count, f) => sum + (f === 0 ? 0 : Math.min(freedom, 2 * count)),
      2 * tied.posts.length,
    );
    chosen = {
      fit,
      kind,
      agreement: agreement(fit.chiSquare, Math.max(0, 2 * tied.marks.length - unknowns)),
    };
    if (chosen.agreement.chance >= ENOUGH) break;
  }
  const { fit, kind, agreement: consistency } = chosen!;
  const enlarge = Math.max(1, consistency.birge) ** 2;
  const unseen = unseenOf(inputs, fit, counts);
  const asked = new Set([...inputs.frames, ...marks.map((mark) => mark.frame)]);
  const deviations = Array.from(fit.deviations);
  const worst = deviations.indexOf(Math.max(...deviations));
  const transforms = new Map(
    tied.frames.map((frame, f) => {
      // With one post, and a fit of shifts only, the turn and zoom that it cannot show still
      // leave the picture in doubt.
      const blind =
        kind === "shift" && f > 0 && counts[f] < 2 ? { at: lonePost(tied.marks, f, fit), ...unseen } : null;
      return [frame, steadyFrame(fit, f, tied.centre, counts[f], enlarge, blind)];
    }),
  );
  const worstMark = marks[tied.from[worst]];
  return ok({
    kind,
    referenceFrame,
    at: (frame) => transforms.get(frame) ?? null,
    unsupported: [...asked].filter((frame) => !transforms.has(frame)).sort((a, b) => a - b),
    agreement: consistency,
    worst: { postId: worstMark.postId, frame: worstMark.frame, deviation: deviations[worst] },
    posts: new Map(tied.posts.map((id, p) => [id, [fit.posts[2 * p], fit.posts[2 * p + 1]] as const])),
  });
}

function check({ marks, frames, referenceFrame, unseenTurnRad, unseenZoom }: ShakeInputs): void {
  const numbers = [
    ...marks.flatMap(({ px, uPx, frame }) => [...px, uPx, frame]),
    ...frames,
    referenceFrame ?? 0,
    unseenTurnRad,
    unseenZoom,
  ];
  if (
    !numbers.every(Number.isFinite) ||
    marks.some(({ uPx }) => uPx <= 0) ||
    unseenTurnRad < 0 ||
    unseenZoom < 0
  ) {
    throw new RangeError("shake: need finite inputs, uPx > 0 and unseen u >= 0");
  }
  const seen = new Set<string>();
  for (const { frame, postId } of marks) {
    const key = `${frame} ${postId}`;
    if (seen.has(key)) throw new RangeError(`shake: post ${postId} is marked twice in frame ${frame}`);
    seen.add(key);
  }
}

interface Tied {
  readonly frames: readonly number[];
  readonly posts: readonly string[];
  readonly marks: readonly IndexedMark[];
  /** Index into the given marks of each tied mark. */
  readonly from: readonly number[];
  readonly startPosts: Float64Array;
  readonly startShifts: Float64Array;
  readonly centre: PxPoint;
}

/** Walks from the reference along common posts; frames and posts get a first place by shifts alone. */
function tie(marks: readonly PostMark[], referenceFrame: number): Tied {
  const byFrame = grouped(marks, (mark) => mark.frame);
  const byPost = grouped(marks, (mark) => mark.postId);
  const posts = new Map<string, PxPoint>();
  const shifts = new Map<number, PxPoint>([[referenceFrame, [0, 0]]]);
  const waiting = [referenceFrame];
  for (let frame = waiting.shift(); frame !== undefined; frame = waiting.shift()) {
    const [dx, dy] = entryOf(shifts, frame);
    for (const { postId, px } of entryOf(byFrame, frame)) {
      if (posts.has(postId)) continue;
      posts.set(postId, [px[0] - dx, px[1] - dy]);
      for (const other of entryOf(byPost, postId)) {
        if (shifts.has(other.frame)) continue;
        const at = entryOf(posts, postId);
        shifts.set(other.frame, [other.px[0] - at[0], other.px[1] - at[1]]);
        waiting.push(other.frame);
      }
    }
  }
  const frames = [...shifts.keys()];
  const ids = [...posts.keys()];
  const [frameIndex, postIndex] = [
    new Map(frames.map((f, i) => [f, i])),
    new Map(ids.map((id, i) => [id, i])),
  ];
  const from = marks.flatMap((mark, i) => (frameIndex.has(mark.frame) ? [i] : []));
  const reference = entryOf(byFrame, referenceFrame);
  const mean = (k: 0 | 1) => reference.reduce((sum, mark) => sum + mark.px[k], 0) / reference.length;
  return {
    frames,
    posts: ids,
    from,
    marks: from.map((i) => {
      const { frame, postId, px, uPx } = marks[i];
      return { frame: entryOf(frameIndex, frame), post: entryOf(postIndex, postId), px, uPx };
    }),
    startPosts: Float64Array.from(ids.flatMap((id) => entryOf(posts, id))),
    startShifts: Float64Array.from(frames.flatMap((frame) => entryOf(shifts, frame))),
    centre: [mean(0), mean(1)],
  };
}

function grouped<T, K>(items: readonly T[], key: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const group = groups.get(key(item));
    if (group) group.push(item);
    else groups.set(key(item), [item]);
  }
  return groups;
}

/**
 * Fits, for turns and zooms twice: first to see how large they are where two posts show them, then with
 * that for frames of one post.
 */
function fitOf(inputs: ShakeInputs, tied: Tied, counts: Float64Array, freedom: Freedom): ShakeFit | null {
  const problem = { ...tied, frames: tied.frames.length, posts: tied.posts.length, freedom };
  const wide = new Float64Array(tied.frames.length).fill(WIDEST);
  const first = fitShake({ ...problem, turnU: wide, zoomU: wide });
  if (freedom === 2 || first === null || counts.every((count) => count > 1)) return first;
  const { turnRad, zoom } = unseenOf(inputs, first, counts);
  const narrow = (u: number) => wide.map((value, f) => (counts[f] > 1 ? value : Math.max(u, LEAST_TURN)));
  return fitShake({ ...problem, turnU: narrow(turnRad), zoomU: narrow(zoom) });
}

/**
 * Root mean square turn and zoom of the frames with two posts or more, or what the caller
 * said when that is larger.
 */
function unseenOf({ unseenTurnRad, unseenZoom }: ShakeInputs, fit: ShakeFit, counts: Float64Array) {
  const rms = (term: 2 | 3) => {
    let [sum, n] = [0, 0];
    counts.forEach((count, f) => {
      if (f === 0 || count < 2) return;
      sum += fit.frames[4 * f + term] ** 2;
      n++;
    });
    return n > 0 ? Math.sqrt(sum / n) : 0;
  };
  return { turnRad: Math.max(unseenTurnRad, rms(2)), zoom: Math.max(unseenZoom, rms(3)) };
}

function lonePost(marks: readonly IndexedMark[], frame: number, fit: ShakeFit): PxPoint {
  const post = marks.find((mark) => mark.frame === frame)!.post;
  return [fit.posts[2 * post], fit.posts[2 * post + 1]];
}

interface Blind {
  /** Place in the reference frame that holds still. */
  readonly at: PxPoint;
  readonly turnRad: number;
  readonly zoom: number;
}

function steadyFrame(
  fit: ShakeFit,
  f: number,
  centre: PxPoint,
  posts: number,
  enlarge: number,
  blind: Blind | null,
): SteadyFrame {
  const [tx, ty, turn, logZoom] = [0, 1, 2, 3].map((k) => fit.frames[4 * f + k]) as [
    number,
    number,
    number,
    number,
  ];
  const zoom = Math.exp(logZoom);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const steady = ([x, y]: PxPoint): PxPoint => {
    const [dx, dy] = [x - centre[0] - tx, y - centre[1] - ty];
    return [centre[0] + (cos * dx + sin * dy) / zoom, centre[1] + (cos * dy - sin * dx) / zoom];
  };
  const back = [cos / zoom, sin / zoom, -sin / zoom, cos / zoom];
  const [own, common] = [fit.own[f], fit.common[f]].map((c) => c.map((value) => enlarge * value)) as [
    Float64Array,
    Float64Array,
  ];
  return {
    steady,
    unsteady: ([x, y]) => {
      const [dx, dy] = [x - centre[0], y - centre[1]];
      return [centre[0] + tx + zoom * (cos * dx - sin * dy), centre[1] + ty + zoom * (sin * dx + cos * dy)];
    },
    covariance: (px, [xx, xy, yy]) => {
      const [x, y] = steady(px);
      const [dx, dy] = [x - centre[0], y - centre[1]];
      // q - c = R(-a) e^-s (z - c - t): by shift -R(-a) e^-s, by turn (y, -x), by zoom -(x, y).
      const j = [-back[0], -back[1], dy, -dx, -back[2], -back[3], -dx, -dy];
      const mark = carried(back, [xx, xy, xy, yy], 2);
      let frame = carried(j, own, 4);
      if (blind) {
        const [bx, by] = [x - blind.at[0], y - blind.at[1]];
        frame = added(frame, carried([by, -bx, -bx, -by], [blind.turnRad ** 2, 0, 0, blind.zoom ** 2], 2));
      }
      const shared = carried(j, common, 4);
      return { mark, frame, common: shared, total: added(added(mark, frame), shared) };
    },
    shiftPx: [tx, ty],
    turnRad: turn,
    zoom: zoom - 1,
    posts,
  };
}
