import type { PxPoint } from "../quantity/point.ts";
import { SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { SteadyPictures } from "../scale/steady-pictures.ts";
import type { Shot } from "../session/schema.ts";
import type { LensOut } from "./picture-map-of.ts";

type Px = [number, number];

/**
 * The shot with every pick of scale, plumb, level and known points that says which frame it was picked in
 * brought to the frame that the shake is taken out to, as if it had been picked there. A pick's u grows by
 * what its frame's own place leaves; both ends of a rod then vary apart, though a shift of the frame moves
 * both equally: never too small. A pick without a frame stays as it is.
 * @returns the shot, unchanged without a shake; `notices` name the frames that nothing ties to the
 *   others, whose picks stay
 */
export function steadiedPicks(
  shot: Shot,
  lens: LensOut,
  shaken: SteadyPictures | null,
): { readonly shot: Shot; readonly notices: readonly ShotNotice[] } {
  if (shaken === null) return { shot, notices: [] };
  const untied = new Set<number>();

  function moved(at: PxPoint, uPx: number, frame: number | undefined): { at: Px; uPx: number } {
    if (frame === undefined || frame === shaken?.referenceFrame) return { at: [...at], uPx };
    const still = shaken?.at(frame) ?? null;
    if (still === null) {
      untied.add(frame);
      return { at: [...at], uPx };
    }
    const straight = lens.straighten(at);
    const { frame: common } = still.covariance(straight, [0, 0, 0]);
    const [x, y] = lens.bend(still.steady(straight));
    return { at: [x, y], uPx: Math.sqrt(uPx ** 2 + (common[0] + common[2]) / 2) };
  }
  /** Two ends, which share one u: the larger holds for both. */
  function ends(
    one: PxPoint,
    oneFrame: number | undefined,
    other: PxPoint,
    otherFrame: number | undefined,
    uPx: number,
  ) {
    const [a, b] = [moved(one, uPx, oneFrame), moved(other, uPx, otherFrame)];
    return { one: a.at, other: b.at, uPx: Math.max(a.uPx, b.uPx) };
  }
  const rod = ({ aFrame, bFrame, ...rest }: NonNullable<Shot["scale"]>) => {
    const { one, other, uPx } = ends(rest.a, aFrame, rest.b, bFrame, rest.uPx);
    return { ...rest, a: one, b: other, uPx };
  };
  const plumb = ({ topFrame, bottomFrame, ...rest }: NonNullable<Shot["plumb"]>) => {
    const { one, other, uPx } = ends(rest.top, topFrame, rest.bottom, bottomFrame, rest.uPx);
    return { ...rest, top: one, bottom: other, uPx };
  };
  const level = ({ leftFrame, rightFrame, ...rest }: NonNullable<Shot["level"]>) => {
    const { one, other, uPx } = ends(rest.left, leftFrame, rest.right, rightFrame, rest.uPx);
    return { ...rest, left: one, right: other, uPx };
  };
  const control = ({ points, uPx, uM }: NonNullable<Shot["control"]>) => {
    const all = points.map(({ frame, at, ...rest }) => ({ ...rest, ...moved(at, uPx, frame) }));
    const largest = Math.max(uPx, ...all.map((point) => point.uPx));
    return { uM, uPx: largest, points: all.map(({ uPx: _, ...point }) => point) };
  };
  const steadied: Shot = {
    ...shot,
    scale: shot.scale === null ? null : rod(shot.scale),
    plumb: shot.plumb === null ? null : plumb(shot.plumb),
    ...(shot.rods && { rods: shot.rods.map(rod) }),
    ...(shot.level && { level: level(shot.level) }),
    ...(shot.control && { control: control(shot.control) }),
  };
  return {
    shot: steadied,
    notices: untied.size === 0 ? [] : [SCALE_NOTICES["pick-without-post"]([...untied])],
  };
}
