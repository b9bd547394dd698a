/** rad in a degree. */
export const DEGREE = Math.PI / 180;
/** Degrees in a radian. */
export const DEGREES_PER_RAD = 180 / Math.PI;
