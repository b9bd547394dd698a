import type { PxPoint } from "../quantity/point.ts";

/**
 * A place of a picture that nothing in front of the camera can be seen at: outside what the lens's
 * model reaches, or at or beyond the horizon of the flight plane. A person's mark may be there;
 * who maps it must say so.
 */
export class UnseenPlaceError extends RangeError {
  /** px, the place as it was asked for. */
  readonly at: PxPoint;
  constructor(at: PxPoint, message: string) {
    super(message);
    this.name = "UnseenPlaceError";
    this.at = at;
  }
}
