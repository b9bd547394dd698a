import type { PictureToPicture } from "../../shared/beside/laid-over.ts";

/**
 * The transform, about its top left corner, of a canvas as large as its picture that is to lie in a place
 * where the other picture is drawn `times` its size. Source: CSS Transforms 2, matrix3d, column by column.
 */
export function matrixIn([xx, xy, x, yx, yy, y, wx, wy, w]: PictureToPicture, times: number): string {
  const columns = [
    ...[times * xx, times * yx, 0, wx],
    ...[times * xy, times * yy, 0, wy],
    ...[0, 0, 1, 0],
    ...[times * x, times * y, 0, w],
  ];
  // Numbers with an exponent are read alike; dividing by the corner's w is not: it may be 0 or less there.
  return `matrix3d(${columns.join(", ")})`;
}
