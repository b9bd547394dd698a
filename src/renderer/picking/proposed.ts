import type { FoundThings, Proposals } from "../../shared/propose/proposals.ts";
import type { PxPoint } from "../../shared/quantity/point.ts";
import { type AppState, markAt, shotOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import type { Picked } from "./picked.ts";
import { pickedAt } from "./picks.ts";

type ProposedTarget = FoundThings["targets"][number];

/** Something found in the picture that can be taken for what is picked now. It counts only once it is. */
export type Proposal =
  | { readonly kind: "target"; readonly target: ProposedTarget }
  | { readonly kind: "rod"; readonly ends: readonly [ProposedTarget, ProposedTarget] }
  | { readonly kind: "line"; readonly line: FoundThings["lines"][number] };

const SAME_PX = 3; // of a target and what was placed on it

/** What was found in the clip in view; null while nobody has looked. */
export function foundInView(state: AppState): Proposals | null {
  const clip = shotOf(state)?.clip ?? null;
  return clip === null ? null : (state.proposals[clip] ?? null);
}

/** All that is shown and cannot be taken yet, because a new shot still lacks its clock. */
export function proposalsToCome(state: AppState): readonly Proposal[] {
  const found = foundInView(state);
  if (found === null || found.frame !== state.frame || state.pick !== null || !isEarly(state)) return [];
  const lines = found.lines.map((line): Proposal => ({ kind: "line", line }));
  return [...rodsOf(found), ...found.targets.map(asProposal), ...lines];
}

function isEarly(state: AppState): boolean {
  const shot = shotOf(state);
  return (state.step === "clip" || state.step === "clock") && shot?.scale === null && shot.marks.length === 0;
}

/** What can be taken now: in the frame that was looked at, the likeliest first. */
export function proposalsHere(state: AppState): readonly Proposal[] {
  const found = foundInView(state);
  return found === null || found.frame !== state.frame ? [] : proposalsFor(state, found);
}

/** The frame to go to for what was found for this pick; null where it is shown, or there is nothing. */
export function frameOfProposals(state: AppState): number | null {
  const found = foundInView(state);
  if (found === null || found.frame === state.frame) return null;
  return proposalsFor({ ...state, frame: found.frame }, found).length > 0 ? found.frame : null;
}

/** The one that the keyboard takes. */
export function litProposal(state: AppState): Proposal | null {
  const all = proposalsHere(state);
  return all.length === 0 ? null : (all[modulo(state.lit, all.length)] ?? null);
}

function modulo(n: number, m: number): number {
  return ((n % m) + m) % m;
}

function proposalsFor(state: AppState, { targets, rods, lines }: Proposals): readonly Proposal[] {
  const { pick } = state;
  if (pick?.kind === "plumb") return pick.end === "top" ? lines.map((line) => ({ kind: "line", line })) : [];
  if (pick?.kind === "scale" && pick.end === "a") {
    return [...rodsOf({ targets, rods }), ...stillFirst(targets).map(asProposal)];
  }
  if (pick?.kind === "scale") {
    const { scaleA } = state.pending;
    return stillFirst(targets.filter(({ at }) => scaleA === null || apart(at, scaleA) > SAME_PX)).map(
      asProposal,
    );
  }
  return pick?.kind === "mark" ? markProposals(state, targets) : [];
}

function rodsOf({ targets, rods }: Pick<Proposals, "targets" | "rods">): readonly Proposal[] {
  return rods.map(([a, b]) => {
    const ends = [targets[a], targets[b]] as [ProposedTarget, ProposedTarget];
    return { kind: "rod", ends };
  });
}

function asProposal(target: ProposedTarget): Proposal {
  return { kind: "target", target };
}

function stillFirst(targets: readonly ProposedTarget[]): readonly ProposedTarget[] {
  return [...targets].sort((a, b) => Number(b.still) - Number(a.still));
}

/**
 * For a mark those targets that bear none. What flies has the targets that move: the first point the one
 * farthest ahead, the others the one farthest from it.
 */
function markProposals(state: AppState, targets: readonly ProposedTarget[]): readonly Proposal[] {
  const shot = shotOf(state);
  const point = pointsInView(state).find(({ id }) => id === state.pointId);
  if (shot === null || point === undefined || markAt(shot, point.id, state.frame) !== null) return [];
  const marks = shot.marks.filter(({ frame }) => frame === state.frame);
  const free = targets.filter(({ at }) => marks.every(({ x, y }) => apart(at, [x, y]) > SAME_PX));
  if (point.on !== "airframe") return stillFirst(free).map(asProposal);
  const rodEnds = shot.scale === null ? [] : [shot.scale.a, shot.scale.b];
  const ahead = shot.direction === "right" ? 1 : -1;
  const [first] = marks;
  const rank = ({ at }: ProposedTarget) =>
    first === undefined ? ahead * at[0] : apart(at, [first.x, first.y]);
  const flying = free.filter(({ at }) => rodEnds.every((end) => apart(at, end) > SAME_PX));
  return flying.sort((a, b) => Number(a.still) - Number(b.still) || rank(b) - rank(a)).map(asProposal);
}

function apart([ax, ay]: PxPoint, [bx, by]: PxPoint): number {
  return Math.hypot(ax - bx, ay - by);
}

/**
 * Takes a proposal for what is picked now, as if it were placed there with the u that the picture gives. A
 * rod and a line bring both ends. After a mark the next point of which there is none comes, in this frame.
 */
export function proposalTaken(state: AppState, proposal: Proposal): Picked {
  const clear = { ...state, lit: 0 };
  if (proposal.kind === "rod") {
    const [a, b] = proposal.ends;
    return pickedAt(pickedAt(clear, a.at, a.uPx).state, b.at, b.uPx);
  }
  if (proposal.kind === "line") {
    const { top, bottom, uPx } = proposal.line;
    const picked = pickedAt(pickedAt(clear, top).state, bottom);
    const { edit } = picked;
    if (edit?.kind !== "update-shot" || !edit.patch.plumb) return picked;
    return { ...picked, edit: { ...edit, patch: { plumb: { ...edit.patch.plumb, uPx } } } };
  }
  const { at, uPx } = proposal.target;
  if (state.pick?.kind !== "mark") return pickedAt(clear, at, uPx);
  const picked = pickedAt({ ...clear, afterMark: "stay" }, at, uPx);
  return { ...picked, state: { ...picked.state, ...nextPoint(state), afterMark: state.afterMark } };
}

function nextPoint(state: AppState): Partial<AppState> {
  const marked = new Set(shotOf(state)?.marks.map(({ pointId }) => pointId));
  const next = pointsInView(state).find(({ id }) => id !== state.pointId && !marked.has(id));
  return next === undefined ? {} : { pointId: next.id, selected: null };
}

/** "Found a rod and 2 targets: a click on one takes it, Enter the bold one, P goes to the next." */
export function proposalsSay(state: AppState): string | null {
  const elsewhere = frameOfProposals(state);
  if (elsewhere !== null) return `P goes to frame ${elsewhere}, where something was found for this.`;
  const toCome = proposalsToCome(state);
  if (toCome.length > 0) return `Found ${counted(toCome)}, to be taken under Scale and Marks.`;
  const all = proposalsHere(state);
  if (all.length === 0) return null;
  return all.length === 1
    ? `Found ${counted(all)}: a click on it takes it, or Enter.`
    : `Found ${counted(all)}: a click on one takes it; Enter takes the bold one, P goes to the next.`;
}

function counted(all: readonly Proposal[]): string {
  const of = (kind: Proposal["kind"], one: string, many: string) => {
    const n = all.filter((proposal) => proposal.kind === kind).length;
    return n === 0 ? [] : [n === 1 ? one : `${n} ${many}`];
  };
  const parts = [
    ...of("rod", "a rod", "rods"),
    ...of("target", "a target", "targets"),
    ...of("line", "a hanging line", "hanging lines"),
  ];
  return [parts.slice(0, -1).join(", "), parts.at(-1)].filter((part) => part !== "").join(" and ");
}
