import { OFF_PLANE_U_M } from "../inputs/assumed-u.ts";
import type { Session, Setting, Shot } from "../session/schema.ts";
import type { CameraBetween } from "./camera-between.ts";

type Moved = Pick<CameraBetween, "shiftPx" | "widthPx">;

const STANDS_RAD = 0.005; // 0.3°: nobody stands squarer to a flight than that. Common practice, no source.
const DISTANCE_SHARE = 0.3; // of a distance that the picture's width alone tells. Common practice, no source.

/**
 * rad, by which a camera whose picture moved aside was turned against the flight, if it was turned and not
 * carried aside: the shift over the focal length, of the lens or else by the distance that was stated.
 */
export function turnedAside({ cameras }: Session, former: Shot, { shiftPx, widthPx }: Moved): number {
  const lens = cameras.find(({ id }) => id === former.cameraId)?.lens ?? null;
  const { scale, setting } = former;
  const byDistance =
    scale === null || setting === undefined ? widthPx : setting.distanceM.value / metresPerPx(scale);
  return Math.abs(shiftPx[0]) / (lens?.focalPx ?? byDistance);
}

/**
 * Where the flight was, for a shot whose camera was moved aside since: nothing tells a turn of the camera
 * from a step aside, so what it may have turned by is added to the u of the turn. Where nothing was said of
 * it in the former shot, nothing is for 0.3° at most, and what is assumed otherwise stands beside a larger
 * turn. Known points, which tell the turn themselves, need nothing.
 */
export function settingOver(session: Session, former: Shot, camera: Moved): Setting | undefined {
  const { setting, scale, control } = former;
  if (control !== undefined) return setting;
  const turned = turnedAside(session, former, camera);
  if (setting !== undefined) {
    const { turnRad } = setting;
    return { ...setting, turnRad: { ...turnRad, u: Math.hypot(turnRad.u, turned) } };
  }
  if (turned < STANDS_RAD || scale === null) return undefined;
  const distance = (metresPerPx(scale) * Math.abs(camera.shiftPx[0])) / turned;
  return {
    distanceM: { value: distance, u: DISTANCE_SHARE * distance, assumed: true },
    nearerM: { value: 0, u: OFF_PLANE_U_M, assumed: true },
    turnRad: { value: 0, u: turned },
  };
}

/** What the person should know of it; empty where the camera stands as it did. */
export function settingSays(session: Session, former: Shot, camera: Moved): string {
  const turned = turnedAside(session, former, camera);
  if (former.control !== undefined || turned < STANDS_RAD) return "";
  const degrees = ((turned * 180) / Math.PI).toFixed(1);
  return `If the camera was turned and not carried aside, it looks ${degrees}° otherwise at the flight: that is added to the ± of its turn. State the turn under Scale if you know it.`;
}

function metresPerPx({ a, b, rodM }: NonNullable<Shot["scale"]>): number {
  return rodM.value / Math.hypot(b[0] - a[0], b[1] - a[1]);
}
