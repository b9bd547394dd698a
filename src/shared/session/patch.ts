/** A value as JSON has it. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** Keys and list positions from the top of a document down to one value. */
export type PatchPath = readonly (string | number)[];

/**
 * One change of a document: a value set, a key dropped, or some of a list's values cut
 * out and others put there.
 */
export type PatchOp =
  | { readonly at: PatchPath; readonly set: Json }
  | { readonly at: PatchPath; readonly drop: true }
  | {
      readonly at: PatchPath;
      readonly cut: readonly [from: number, count: number];
      readonly put: readonly Json[];
    };

/** The changes from one document to another, in the order in which they are applied. */
export type Patch = readonly PatchOp[];

type Dict = Readonly<Record<string, unknown>>;

const SPLICED = 1000; // values that are put at a time: few enough to be arguments of one call

/**
 * The changes that turn one JSON document into another. Parts that are the same object on both sides are not
 * looked into, so between two states of an edit the cost is that of what changed, whatever the size of the
 * document. A key whose value is undefined counts as absent, as it does in JSON. Keys set are appended: the
 * order of keys is not part of a document.
 */
export function patchBetween(before: unknown, after: unknown): Patch {
  const ops: PatchOp[] = [];
  compare(before, after, [], ops);
  return ops;
}

function compare(before: unknown, after: unknown, at: PatchPath, ops: PatchOp[]): void {
  if (Object.is(before, after)) return;
  if (Array.isArray(before) && Array.isArray(after)) compareLists(before, after, at, ops);
  else if (isDict(before) && isDict(after)) compareDicts(before, after, at, ops);
  else ops.push({ at, set: after as Json });
}

function compareDicts(before: Dict, after: Dict, at: PatchPath, ops: PatchOp[]): void {
  for (const key of Object.keys(before)) {
    if (ownValue(before, key) !== undefined && ownValue(after, key) === undefined)
      ops.push({ at: [...at, key], drop: true });
  }
  for (const key of Object.keys(after)) {
    const [was, is] = [ownValue(before, key), ownValue(after, key)];
    if (is === undefined) continue;
    if (was === undefined) ops.push({ at: [...at, key], set: is as Json });
    else compare(was, is, [...at, key], ops);
  }
}

/**
 * Between lists of one length value by value; otherwise what both have at their ends stays
 * and the middle is replaced.
 */
function compareLists(
  before: readonly unknown[],
  after: readonly unknown[],
  at: PatchPath,
  ops: PatchOp[],
): void {
  if (before.length === after.length) {
    for (let i = 0; i < after.length; i++) {
      if (!Object.is(before[i], after[i])) compare(before[i], after[i], [...at, i], ops);
    }
    return;
  }
  const shorter = Math.min(before.length, after.length);
  let head = 0;
  while (head < shorter && sameJson(before[head], after[head])) head++;
  let tail = 0;
  while (tail < shorter - head && sameJson(before.at(-1 - tail), after.at(-1 - tail))) tail++;
  const put = after.slice(head, after.length - tail) as readonly Json[];
  ops.push({ at, cut: [head, before.length - head - tail], put });
}

/**
 * Whether two values are the same JSON, whatever the order of their keys. Parts that are
 * one object cost nothing.
 */
export function sameJson(a: unknown, b: unknown): boolean {
  if (Object.is(a, b)) return true;
  if (Array.isArray(a) && Array.isArray(b)) {
    return a.length === b.length && a.every((one, i) => sameJson(one, b[i]));
  }
  if (!isDict(a) || !isDict(b)) return false;
  const keys = (dict: Dict) => Object.keys(dict).filter((key) => dict[key] !== undefined);
  const [ofA, ofB] = [keys(a), keys(b)];
  return ofA.length === ofB.length && ofA.every((key) => sameJson(ownValue(a, key), ownValue(b, key)));
}

/**
 * Applies changes and gives the new document; the given one stays as it was, and parts that are not changed
 * are the same objects in both.
 * @throws RangeError when the patch does not fit the document: a place that is not there,
 *   a cut beyond a list's end
 */
export function applyPatch<T>(document: T, patch: Patch): T {
  /** Objects made here, which may be changed in place: many changes in one list copy it once. */
  const own = new Set<unknown>();
  const root = { document: document as unknown };
  own.add(root);
  for (const op of patch) {
    const path = ["document", ...op.at];
    const last = path.pop() as string | number;
    let holder: Holder = root;
    for (const step of path) holder = ownChild(holder, step, own);
    change(holder, last, op, own);
  }
  return root.document as T;
}

type Holder = Record<string | number, unknown>;

function ownChild(holder: Holder, step: string | number, own: Set<unknown>): Holder {
  mustHold(holder, step);
  const child = holder[step];
  if (typeof child !== "object" || child === null) throw misfit(`nothing can lie below "${step}"`);
  if (own.has(child)) return child as Holder;
  const copy = (Array.isArray(child) ? [...child] : { ...child }) as Holder;
  own.add(copy);
  holder[step] = copy;
  return copy;
}

function change(holder: Holder, last: string | number, op: PatchOp, own: Set<unknown>): void {
  if ("cut" in op) {
    const list = ownChild(holder, last, own) as unknown;
    const [from, count] = op.cut;
    if (!Array.isArray(list)) throw misfit(`"${last}" is no list`);
    if (from < 0 || count < 0 || from + count > list.length)
      throw misfit(`"${last}" has ${list.length} values`);
    if (op.put.length <= SPLICED) {
      list.splice(from, count, ...op.put);
      return;
    }
    // A list spread into arguments would overflow the stack at some 100 000 values.
    const tail = list.slice(from + count);
    list.length = from;
    for (const one of op.put) list.push(one);
    for (const one of tail) list.push(one);
  } else if ("drop" in op) {
    mustHold(holder, last);
    if (Array.isArray(holder)) throw misfit("a value of a list is cut, not dropped");
    delete holder[last];
  } else {
    if (Array.isArray(holder)) mustHold(holder, last);
    if (last === "__proto__") throw misfit("a key has a name that no document has");
    holder[last] = op.set;
  }
}

function mustHold(holder: Holder, step: string | number): void {
  if (!Object.hasOwn(holder, step)) throw misfit(`there is no "${step}"`);
}

function misfit(why: string): RangeError {
  return new RangeError(`applyPatch: the patch does not fit the document: ${why}`);
}

/** A dictionary's own value: a key may be called as something that every object inherits. */
function ownValue(dict: Dict, key: string): unknown {
  return Object.hasOwn(dict, key) ? dict[key] : undefined;
}

function isDict(value: unknown): value is Dict {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
