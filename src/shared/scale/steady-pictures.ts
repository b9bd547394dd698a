import type { Covariance2 } from "../numeric/covariance.ts";
import type { PxPoint } from "../quantity/point.ts";

/** One frame's picture of a moving camera, brought to the reference frame's. */
export interface SteadyPicture {
  /** px in this frame -> px in the reference frame. */
  steady(px: PxPoint): PxPoint;
  /**
   * Uncertainty of a steadied place, px²: from the mark itself, turned and zoomed with its frame,
   * and from how the frame lies, which all points of the frame share.
   * @param markPx [var x, cov, var y] px² of the mark in this frame
   */
  covariance(px: PxPoint, markPx: Covariance2): { readonly mark: Covariance2; readonly frame: Covariance2 };
}

/** The pictures of a moving camera, each brought to the reference frame's. */
export interface SteadyPictures {
  readonly referenceFrame: number;
  /** The frame's picture; null where nothing ties it to the reference. */
  at(frame: number): SteadyPicture | null;
}
