import { type KnownIds, knownIds, listFaults, markFaults, namedFaults } from "./references.ts";
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

/** The lists that a rule between parts speaks of. */
const LISTS = [
  "points",
  "airframes",
  "launchers",
  "cameras",
  "tunings",
  "clips",
  "outings",
  "shelved",
] as const;

/** What holds in and between the lists beside the shots. */
function listsFit(before: Session, after: Session): boolean {
  if (LISTS.every((list) => after[list] === before[list])) return true;
  return listFaults(after, knownIds(after)).length === 0;
}

function shotsFit(before: Session, after: Session): boolean {
  const { fresh, gone } = exchanged(before.shots, after.shots);
  const were = new Map(gone.map((shot) => [shot.id, shot]));
  const known = knownIds(after);
  for (const shot of fresh) {
    if (!isDict(shot)) return false;
    if (!shotFits(were.get(shot.id), shot, known)) return false;
  }
  if (!haveSameIds(before.shots, after.shots) && !areUnique(after.shots.map(({ id }) => id))) return false;
  // What is gone, or on another airframe now, may be named by any shot, also by one that nobody touched.
  const there = knownIds(before);
  if (before.points !== after.points && !areOnTheSame(there, known)) {
    if (!after.shots.every((shot) => markFaults(shot, 0, known).length === 0)) return false;
  }
  const named = ["airframes", "launchers", "cameras"] as const;
  if (named.every((list) => [...there[list]].every((id) => known[list].has(id)))) return true;
  return after.shots.every((shot) => namedFaults(shot, 0, known).length === 0);
}

function areOnTheSame({ points: before }: KnownIds, { points: after }: KnownIds): boolean {
  return [...before].every(([id, airframeId]) => after.get(id) === airframeId);
}

/** @param was the shot that stood in its place, if any */
function shotFits(was: Shot | undefined, shot: Shot, known: KnownIds): boolean {
  const marks: unknown = shot.marks;
  if (!Array.isArray(marks)) return false;
  const { fresh } = exchanged<Mark>(was?.marks ?? [], marks);
  if (!ShotSchema.safeParse({ ...shot, marks: fresh }).success) return false;
  if (namedFaults(shot, 0, known).length > 0) return false;
  // Marks that nobody touched were checked against the airframe that the shot named then.
  const { airframeId } = shot;
  const looked = was?.airframeId === airframeId ? fresh : (marks as readonly Mark[]);
  if (markFaults({ marks: looked, airframeId }, 0, known).length > 0) return false;
  const frames = new Set(fresh.map(({ frame }) => frame));
  const beside = shot.marks.filter(({ frame }) => frames.has(frame));
  return areUnique(beside.map(({ frame, pointId }) => `${frame} ${pointId}`));
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

function isDict(value: unknown): value is Record<string, unknown> & Shot {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
