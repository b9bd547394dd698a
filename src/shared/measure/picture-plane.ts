import type { Measured } from "../quantity/measured.ts";
import type { PxPoint } from "../quantity/point.ts";
import type { PictureMap } from "../scale/picture-map.ts";
import type { BendAbout } from "../scale/unseen-bend.ts";

/** How the picture lies on the flight plane, found from what the person marked. */
export interface PictureOnPlane extends Omit<Plane, "found"> {
  readonly found: FoundPlane;
  /** Takes the lens out of a seen place. */
  straighten(seen: PxPoint): PxPoint;
}

/** The same, of a picture with the lens taken out. */
export interface Plane {
  /** px of a picture with the lens taken out and steadied -> m. */
  readonly map: PictureMap;
  /** m/px by the rods, or in the middle of the known points. */
  readonly scale: Measured;
  /** rad, roll of the picture. */
  readonly rollRad: Measured;
  readonly by: "rods" | "control";
  readonly found: Omit<FoundPlane, "lensUsed">;
}

/**
 * What was decided when the plane was found, and stays so when an input is moved by its uncertainty: whether
 * rods agree is judged once, of what the person stated.
 */
export interface FoundPlane {
  /** Whether the camera's lens profile could be used. */
  readonly lensUsed: boolean;
  /** How much each rod counts in the scale. */
  readonly rodWeights: readonly number[];
  /** How much each of plumb and level counts in the roll; empty where the picture's edge stands for them. */
  readonly lineWeights: readonly number[];
  readonly points: FoundPoints | null;
  /** Standard uncertainties that no input's own brings: of rods and lines that contradict each other. */
  readonly beyond: BeyondInputs;
}

/** Of a plane by known points. */
export interface FoundPoints {
  /** How much more they scatter about the plane than stated, 1 or more: each counts as so uncertain. */
  readonly scatter: number;
  /** m, the middle of the known places, where places are counted from: far numbers lose their digits. */
  readonly originM: readonly [number, number];
  /** What a bend that the lens profile does not hold is about. */
  readonly bend: BendAbout;
  /** Whether points, or a bend, show that no plane fits: marks that do not fit may then be right. */
  readonly strained: boolean;
}

/** Errors of the plane that no single input has. All 0 where nothing contradicts anything. */
export interface BeyondInputs {
  /** 1, of every length. */
  readonly scale: number;
  /** 1, of every length: a flight out of the rod's plane, where nobody said where it was. */
  readonly plane: number;
  /** rad, of the roll. */
  readonly rollRad: number;
  /** k of a bend of the picture that the lens profile, or the lack of one, leaves. */
  readonly bend: number;
}

export const NOTHING_BEYOND: BeyondInputs = { scale: 0, plane: 0, rollRad: 0, bend: 0 };

/** A plane to be found again with inputs moved: what was decided, and how far it is off beyond the inputs. */
export interface MovedPlane {
  readonly found: FoundPlane;
  readonly by: BeyondInputs;
}
