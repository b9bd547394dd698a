import {
  type ListedAirframe,
  type Point,
  SESSION_FORMAT,
  SESSION_VERSION,
  type Session,
  type Shot,
} from "./schema.ts";

/** The airframe that a session begins with. */
export const FIRST_AIRFRAME = "airframe-1";

/** What a shot is made with. */
export type ShotNames = Pick<Shot, "airframeId" | "launcherId" | "cameraId">;

const FIRST: ShotNames = { airframeId: FIRST_AIRFRAME, launcherId: null, cameraId: null };

/** A session with nothing in it but an airframe and the two points it needs for a pitch: nose and tail. */
export function freshSession(title: string): Session {
  return {
    format: SESSION_FORMAT,
    version: SESSION_VERSION,
    title,
    units: "SI",
    points: [
      { id: "nose", name: "nose", on: "airframe", airframeId: FIRST_AIRFRAME, body: null },
      { id: "tail", name: "tail", on: "airframe", airframeId: FIRST_AIRFRAME, body: null },
    ],
    airframes: [
      {
        id: FIRST_AIRFRAME,
        name: "",
        massKg: null,
        centreOfGravity: null,
        pitchInertiaKgM2: null,
        wingAreaM2: null,
        liftCoefficientMax: null,
        loadLimitG: null,
      },
    ],
    launchers: [],
    cameras: [],
    shots: [],
  };
}

/**
 * A shot of one clip with nothing measured yet. The air is the standard atmosphere, so uncertain that
 * it is seen to be a guess.
 * @param names the session's first airframe, and neither launcher nor camera, by default
 */
export function freshShot(id: string, name: string, clip: string | null, names: ShotNames = FIRST): Shot {
  const { airframeId, launcherId, cameraId } = names;
  return {
    id,
    name,
    clip,
    airframeId,
    launcherId,
    cameraId,
    conditions: {
      gaugePressurePa: null,
      temperatureK: { value: 288.15, u: 10 },
      airPressurePa: { value: 101325, u: 3000 },
      headwindMPerS: { value: 0, u: 2 },
    },
    clock: null,
    scale: null,
    plumb: null,
    release: { by: "change-point" },
    direction: "right",
    marks: [],
    notes: "",
  };
}

/** An id that no entry of a list has: "point-3". */
export function unusedId(kind: string, list: readonly { readonly id: string }[]): string {
  let n = list.length + 1;
  while (list.some(({ id }) => id === `${kind}-${n}`)) n++;
  return `${kind}-${n}`;
}

/** An airframe like another one, under another name and with points of its own, to be changed then. */
export function copiedAirframe(
  { airframes, points }: Pick<Session, "airframes" | "points">,
  airframe: ListedAirframe,
): { readonly airframe: ListedAirframe; readonly points: readonly Point[] } {
  const id = unusedId("airframe", airframes);
  const copies = new Map<string, Point>();
  for (const point of points.filter(({ airframeId }) => airframeId === airframe.id)) {
    const taken = [...points, ...copies.values()];
    copies.set(point.id, { ...point, id: unusedId("point", taken), airframeId: id });
  }
  const copyOf = (pointId: string) => copies.get(pointId)?.id ?? pointId;
  const balance = airframe.centreOfGravity;
  return {
    airframe: {
      ...airframe,
      id,
      name: nameOfCopy(airframe.name, airframes, "airframe"),
      centreOfGravity: balance && {
        ...balance,
        fromPointId: copyOf(balance.fromPointId),
        towardPointId: copyOf(balance.towardPointId),
      },
    },
    points: [...copies.values()],
  };
}

const LONGEST_NAME = 80; // as the schema says

/** "Kestrel 2", after "Kestrel"; no other of the list has it. */
export function nameOfCopy(
  name: string,
  list: readonly { readonly name: string }[],
  otherwise: string,
): string {
  const [, bare = ""] = /^(.*?)(?: \d+)?$/.exec(name || otherwise) ?? [];
  let n = 2;
  const named = () => `${bare.slice(0, LONGEST_NAME - 4)} ${n}`;
  while (list.some((one) => one.name === named())) n++;
  return named();
}
