import { type Mark, type Session, SessionSchema, type Shot, ShotSchema } from "./schema.ts";

/**
 * Whether a change of a valid session leads to a valid one: `SessionSchema.safeParse(after).success`, at the
 * cost of what changed. A part that is the same object as a part of `before` in that place was checked there;
 * every other part is given to its own schema, and the rules that hold between parts are checked wherever a
 * changed part has a say in them. Which objects are new is all that counts, not how they came there.
 * @param before a session that SessionSchema accepts; not checked
 * @param after plain JSON values
 */
export function isValidChange(before: Session, after: unknown): after is Session {
  if (before === after) return true;
  if (!isDict(after)) return false;
  const { shape } = SessionSchema;
  if (!Object.keys(after).every((key) => Object.hasOwn(shape, key))) return false;
  const changed = (Object.keys(shape) as (keyof Session)[]).filter((key) => after[key] !== before[key]);
  const own = changed.filter((key) => key !== "shots");
  if (!own.every((key) => shape[key].safeParse(after[key]).success)) return false;
  if (!Array.isArray(after.shots)) return false;
  const session = after as unknown as Session;
  return listsFit(before, session) && shotsFit(before, session);
}

/** What holds in and between the lists beside the shots. */
function listsFit(before: Session, { points, cameras, clips, airframe }: Session): boolean {
  if (points !== before.points && !areUnique(points.map(({ id }) => id))) return false;
  if (cameras !== before.cameras && !areUnique(cameras.map(({ id }) => id))) return false;
  if (clips !== before.clips && !areUnique((clips ?? []).map(({ name }) => name))) return false;
  const balance = airframe.centreOfGravity;
  const ids = balance === null ? [] : [balance.fromPointId, balance.towardPointId];
  return ids.every((id) => points.some((point) => point.id === id));
}

function shotsFit(before: Session, after: Session): boolean {
  const { fresh, gone } = exchanged(before.shots, after.shots);
  const were = new Map(gone.map((shot) => [shot.id, shot]));
  const known = { points: idsOf(after.points), cameras: idsOf(after.cameras) };
  for (const shot of fresh) {
    if (!isDict(shot)) return false;
    if (!shotFits(were.get(shot.id), shot, known)) return false;
  }
  if (!haveSameIds(before.shots, after.shots) && !areUnique(after.shots.map(({ id }) => id))) return false;
  // A point or camera that is gone may be named by any shot, also by one that nobody touched.
  if (!before.points.every(({ id }) => known.points.has(id))) {
    if (!after.shots.every(({ marks }) => areKnown(marks, known.points))) return false;
  }
  if (before.cameras.every(({ id }) => known.cameras.has(id))) return true;
  return after.shots.every(({ cameraId }) => cameraId === null || known.cameras.has(cameraId));
}

interface KnownIds {
  readonly points: ReadonlySet<string>;
  readonly cameras: ReadonlySet<string>;
}

/** @param was the shot that stood in its place, if any */
function shotFits(was: Shot | undefined, shot: Shot, known: KnownIds): boolean {
  const marks: unknown = shot.marks;
  if (!Array.isArray(marks)) return false;
  const { fresh } = exchanged<Mark>(was?.marks ?? [], marks);
  if (!ShotSchema.safeParse({ ...shot, marks: fresh }).success) return false;
  if (shot.cameraId !== null && !known.cameras.has(shot.cameraId)) return false;
  if (!areKnown(fresh, known.points)) return false;
  const frames = new Set(fresh.map(({ frame }) => frame));
  const beside = shot.marks.filter(({ frame }) => frames.has(frame));
  return areUnique(beside.map(({ frame, pointId }) => `${frame} ${pointId}`));
}

function areKnown(marks: readonly Mark[], points: ReadonlySet<string>): boolean {
  return marks.every(({ pointId }) => points.has(pointId));
}

/**
 * The values of a list that are not among those of the list before, and those that are there no more. Each
 * value of the list before stands for one of `after`: an object that is put there a second time is a new one.
 */
function exchanged<T>(
  before: readonly T[],
  after: readonly T[],
): { readonly fresh: readonly T[]; readonly gone: readonly T[] } {
  if (before === after) return { fresh: [], gone: [] };
  const shorter = Math.min(before.length, after.length);
  let head = 0;
  while (head < shorter && before[head] === after[head]) head++;
  let tail = 0;
  while (tail < shorter - head && before.at(-1 - tail) === after.at(-1 - tail)) tail++;
  const left = new Set(before.slice(head, before.length - tail));
  const fresh = after.slice(head, after.length - tail).filter((one) => !left.delete(one));
  return { fresh, gone: [...left] };
}

function haveSameIds(before: readonly Shot[], after: readonly Shot[]): boolean {
  return before.length === after.length && before.every((shot, i) => shot.id === (after[i] as Shot).id);
}

function areUnique(keys: readonly string[]): boolean {
  return new Set(keys).size === keys.length;
}

function idsOf(list: readonly { readonly id: string }[]): ReadonlySet<string> {
  return new Set(list.map(({ id }) => id));
}

function isDict(value: unknown): value is Record<string, unknown> & Shot {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
