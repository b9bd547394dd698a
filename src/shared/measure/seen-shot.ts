import type { BodyAxis } from "../kinematics/body-shape.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Mark, Shot } from "../session/schema.ts";
import type { PictureOnPlane } from "./picture-plane.ts";
import type { ShotTiming } from "./shot-timing.ts";
import type { Steadying } from "./steadying.ts";

/** All that brings some marks of a shot onto its flight plane and its clock. */
export interface SeenShot {
  /** As the document has it. */
  readonly filmed: FilmedShot;
  /** The shot with the picks of its scale brought to the frame that the shake is taken out to. */
  readonly shot: Shot;
  /** [width, height] px of the upright picture; null when the clip was not read. */
  readonly picturePx: readonly [number, number] | null;
  readonly clock: ShotTiming;
  readonly plane: PictureOnPlane;
  readonly steadying: Steadying;
  readonly axis: BodyAxis;
  /** Ids of the points; a PlaneMark's `point` is an index into this. */
  readonly pointIds: readonly string[];
  /** The marks to be placed. */
  readonly sources: readonly Mark[];
}
