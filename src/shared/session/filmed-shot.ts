import type { UnitSet } from "../quantity/display.ts";
import type { Airframe, Camera, Launcher, Session, Shot, Site } from "./schema.ts";
import { pointsOf, whatTookPart } from "./what-took-part.ts";

/** A shot and its index in the document, which says where a number that cannot be stands. */
export interface PlacedShot {
  readonly shot: Shot;
  readonly shotAt: number;
}

/** A shot with all that measuring it takes from the document. */
export interface FilmedShot extends PlacedShot {
  /** The one that filmed it; null when not said. */
  readonly camera: Camera | null;
  /** Index of the camera in the document, likewise. */
  readonly cameraAt: number;
  /** Those on its airframe, and those on none. */
  readonly points: Session["points"];
  /** The document's, in which a number that cannot be is found. */
  readonly allPoints: Session["points"];
  /** The one that was thrown. */
  readonly airframe: Airframe;
  /** Index of the airframe in the document. */
  readonly airframeAt: number;
  /** What launched it; null when not said. */
  readonly launcher: Launcher | null;
  readonly site: Site | undefined;
  readonly units: UnitSet;
  /** Every shot of the same camera, this one among them: what they show may check its clock. */
  readonly ofSameCamera: readonly PlacedShot[];
}

/** @param shot one of the session's */
export function filmedShot(session: Session, shot: Shot): FilmedShot {
  const { cameras, points, site, units } = session;
  const { airframe, airframeAt, launcher } = whatTookPart(session, shot);
  const isSame = ({ id, cameraId }: Shot) =>
    id === shot.id || (cameraId !== null && cameraId === shot.cameraId);
  const cameraAt = cameras.findIndex(({ id }) => id === shot.cameraId);
  return {
    shot,
    shotAt: session.shots.findIndex(({ id }) => id === shot.id),
    camera: cameras[cameraAt] ?? null,
    cameraAt,
    points: pointsOf(points, shot.airframeId),
    allPoints: points,
    airframe,
    airframeAt,
    launcher,
    site,
    units,
    ofSameCamera: session.shots.flatMap((one, shotAt) => (isSame(one) ? [{ shot: one, shotAt }] : [])),
  };
}
