import { expect, it } from "vitest";
import { type AppState, atStep, emptyState, shotOf } from "../../../src/renderer/app-state/app-state.ts";
import type { Picked } from "../../../src/renderer/picking/picked.ts";
import {
  frameOfProposals,
  litProposal,
  type Proposal,
  proposalsHere,
  proposalsSay,
  proposalsToCome,
  proposalTaken,
} from "../../../src/renderer/picking/proposed.ts";
import type { Proposals } from "../../../src/shared/propose/proposals.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../src/shared/session/schema.ts";

const target = (x: number, y: number, still: boolean, uPx = 0.05) =>
  ({ kind: "quarters", at: [x, y], uPx, radiusPx: 10, still }) as const;
/** Tail, one end of a rod, nose, its other end. */
const FOUND: Proposals = {
  frame: 12,
  moves: { first: 15, last: 60 },
  levels: [],
  targets: [
    target(50, 90, false),
    target(100, 200, true, 0.07),
    target(150, 80, false),
    target(400, 204, true),
  ],
  rods: [[1, 3]],
  lines: [{ top: [500, 20], bottom: [503, 180], uPx: 0.1 }],
};

function windowState(step: AppState["step"], patch: Partial<Shot> = {}): AppState {
  const shot = { ...freshShot("shot-1", "one", "a.mp4"), ...patch };
  const session = { ...freshSession("t"), shots: [shot] };
  const state = { ...emptyState(session), shotId: "shot-1", pointId: "nose", frame: 12 };
  return atStep({ ...state, proposals: { "a.mp4": FOUND } }, step);
}
function after({ state, edit }: Picked): AppState {
  if (edit === null) return state;
  return { ...state, history: { ...state.history, present: applyEdit(state.history.present, edit) } };
}
const placeOf = (one: Proposal | null) => (one?.kind === "target" ? one.target.at : (one?.kind ?? null));
const lit = (state: AppState) => litProposal(state) as Proposal;
const scale: Shot["scale"] = { a: [100, 300], b: [600, 300], uPx: 0.4, rodM: { value: 1, u: 0.001 } };

it("offers for a mark the target that moves and is farthest ahead, then the one farthest from it", () => {
  const nose = windowState("marks");
  expect(placeOf(litProposal(nose))).toEqual([150, 80]);
  const left = windowState("marks", { direction: "left" });
  expect(placeOf(litProposal(left))).toEqual([50, 90]);
  const tail = after(proposalTaken(nose, lit(nose)));
  expect(tail).toMatchObject({ pointId: "tail", frame: 12, afterMark: "next-frame" });
  expect(placeOf(litProposal(tail))).toEqual([50, 90]);
  const both = after(proposalTaken(tail, lit(tail)));
  expect(shotOf(both)!.marks).toMatchObject([
    { pointId: "nose", frame: 12, x: 150, y: 80, u: 0.05, by: "hand", snapped: true },
    { pointId: "tail", frame: 12, x: 50, y: 90, u: 0.05, by: "hand", snapped: true },
  ]);
  expect(litProposal(both)).toBeNull(); // the point has its mark
});

it("offers for the scale the rod, then what is still; a rod brings both ends with the looser u", () => {
  const state = windowState("scale");
  expect(proposalsHere(state).map(placeOf)).toEqual(["rod", [100, 200], [400, 204], [50, 90], [150, 80]]);
  const done = after(proposalTaken(state, lit(state)));
  expect(done.pending).toMatchObject({ scaleA: [100, 200], scaleB: [400, 204] });
  expect(done.pending.foundU).toEqual({ scaleA: 0.07, scaleB: 0.05 });
  expect(done.askedField).toBe("shot-1 rod");
  const one = after(proposalTaken(state, proposalsHere(state)[1]!));
  expect(proposalsHere(one).map(placeOf)).toEqual([
    [400, 204],
    [50, 90],
    [150, 80],
  ]);
});

it("offers hanging lines for the plumb, with the u from how straight they are", () => {
  const state = windowState("scale", { scale });
  const done = after(proposalTaken(state, lit(state)));
  expect(shotOf(done)!.plumb).toMatchObject({ top: [500, 20], bottom: [503, 180], uPx: 0.1, topFrame: 12 });
});

it("offers nothing in another frame but the way there, nothing without a pick, and says what it offers", () => {
  const state = windowState("marks");
  const elsewhere = { ...state, frame: 3 };
  expect([litProposal(elsewhere), frameOfProposals(elsewhere), frameOfProposals(state)]).toEqual([
    null,
    12,
    null,
  ]);
  expect(proposalsSay(elsewhere)).toBe("P goes to frame 12, where something was found for this.");
  expect(proposalsSay(windowState("scale"))).toMatch(/^Found a rod and 4 targets: a click on one takes it/);
  expect(proposalsSay(windowState("scale", { scale }))).toMatch(/^Found a hanging line: a click on it/);
  expect([proposalsHere(windowState("motion")), proposalsSay(windowState("motion"))]).toEqual([[], null]);
});

it("shows a new shot all that was found before it can be taken, and for marks leaves out the rod's ends", () => {
  const early = windowState("clock");
  expect(proposalsToCome(early).map(placeOf)).toHaveLength(6);
  expect(proposalsSay(early)).toBe(
    "Found a rod, 4 targets and a hanging line, to be taken under Scale and Marks.",
  );
  expect(proposalsToCome(windowState("clock", { scale }))).toEqual([]);
  expect(proposalsToCome({ ...early, frame: 3 })).toEqual([]);
  const onRod = { ...scale!, a: [100, 200], b: [400, 204] } as Shot["scale"];
  expect(proposalsHere(windowState("marks", { scale: onRod })).map(placeOf)).toEqual([
    [150, 80],
    [50, 90],
  ]);
});

it("goes round what it offers, both ways", () => {
  const state = windowState("marks");
  const at = (n: number) => placeOf(litProposal({ ...state, lit: n }));
  expect([at(1), at(4), at(-1)]).toEqual([[50, 90], [150, 80], at(3)]);
});
