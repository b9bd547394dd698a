/** How the picture lies in the view: screen = origin + scale * picture; both y down. */
export interface Viewport {
  /** css px per picture px */
  readonly scale: number;
  /** css px, where the picture's top left corner lies in the view */
  readonly x: number;
  readonly y: number;
}

export interface Extent {
  readonly width: number;
  readonly height: number;
}

export type Place = readonly [x: number, y: number];

/** One wheel notch or one press of + changes the scale by this factor: four presses double it. */
export const ZOOM_STEP = 2 ** 0.25;
const MAX_SCALE = 40; // css px per picture px: a pixel is then a square the size of a finger tip
const KEPT_PX = 60; // css px of the picture that stay in view however far it is dragged

/** The viewport that shows the whole picture, centred. A view without area gives scale 1. */
export function fitted(view: Extent, picture: Extent): Viewport {
  const scale = Math.min(view.width / picture.width, view.height / picture.height);
  if (!(scale > 0)) return { scale: 1, x: 0, y: 0 };
  return {
    scale,
    x: (view.width - picture.width * scale) / 2,
    y: (view.height - picture.height * scale) / 2,
  };
}

/**
 * Zooms by `factor` so that the picture place under `at` (css px) stays under it. The scale stays between
 * half of the fitted one and 40 css px a pixel.
 */
export function zoomedAt(
  viewport: Viewport,
  factor: number,
  at: Place,
  view: Extent,
  picture: Extent,
): Viewport {
  const least = fitted(view, picture).scale / 2;
  const scale = Math.min(MAX_SCALE, Math.max(least, viewport.scale * factor));
  const ratio = scale / viewport.scale;
  const moved = { scale, x: at[0] - (at[0] - viewport.x) * ratio, y: at[1] - (at[1] - viewport.y) * ratio };
  return heldInView(moved, view, picture);
}

/** Moves the picture by css px, never wholly out of view. */
export function panned(viewport: Viewport, dx: number, dy: number, view: Extent, picture: Extent): Viewport {
  return heldInView({ ...viewport, x: viewport.x + dx, y: viewport.y + dy }, view, picture);
}

/**
 * Moves the picture so that `place` (picture px) is seen, at least `margin` css px from the view's
 * edge; same object if it is.
 */
export function revealed(viewport: Viewport, place: Place, view: Extent, margin: number): Viewport {
  const [sx, sy] = toScreen(viewport, place);
  const dx = intoRange(sx, margin, view.width - margin) - sx;
  const dy = intoRange(sy, margin, view.height - margin) - sy;
  return dx === 0 && dy === 0 ? viewport : { ...viewport, x: viewport.x + dx, y: viewport.y + dy };
}

/** Picture px to css px of the view. */
export function toScreen(viewport: Viewport, place: Place): Place {
  return [viewport.x + place[0] * viewport.scale, viewport.y + place[1] * viewport.scale];
}

/** Css px of the view to picture px. */
export function toPicture(viewport: Viewport, at: Place): Place {
  return [(at[0] - viewport.x) / viewport.scale, (at[1] - viewport.y) / viewport.scale];
}

function heldInView(viewport: Viewport, view: Extent, picture: Extent): Viewport {
  const { scale } = viewport;
  const kept = Math.min(KEPT_PX, view.width / 2, view.height / 2);
  return {
    scale,
    x: intoRange(viewport.x, kept - picture.width * scale, view.width - kept),
    y: intoRange(viewport.y, kept - picture.height * scale, view.height - kept),
  };
}

function intoRange(x: number, least: number, most: number): number {
  return Math.min(Math.max(x, least), Math.max(least, most));
}
