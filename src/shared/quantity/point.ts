/**
 * [x, y] in pixels of the upright picture with square pixels: x right, y down, origin the top left corner.
 */
export type PxPoint = readonly [number, number];
