import type { ClipEntry, DamagedFrame } from "../../shared/api/contract.ts";
import type { Proposals } from "../../shared/propose/proposals.ts";
import { type Fault, HEADINGS, type Heading } from "../../shared/quantity/notice.ts";
import type { Truth } from "../../shared/results/results-schema.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { ClipFacts } from "../../shared/session/clip-facts.ts";
import type { EditWords } from "../../shared/session/edit-words.ts";
import { type History, startHistory } from "../../shared/session/history.ts";
import type { Mark, Session, Shot } from "../../shared/session/schema.ts";
import { airframeOf, pointsOf } from "../../shared/session/what-took-part.ts";
import type { ClipKnowledge, HostInfo, JobView } from "../host/service.ts";
import type { SaveState } from "../saving/autosave.ts";
import type { AppNotice } from "./app-notice.ts";
import type { CarriedSetUp } from "./carried-set-up.ts";
import { type DayView, type Face, FRESH_DAY } from "./day-view.ts";
import { frameWorthSeeing } from "./frame-worth-seeing.ts";
import { NO_STANDINGS, type OutingsView } from "./outings-view.ts";
import { NO_PICKS, NO_SKETCH, type PendingPicks, type Sketch } from "./picked-so-far.ts";
import { AS_FILMED, type PictureLook, type Playback } from "./playback.ts";
import { NOT_LOOKED_AT, type ShelfView } from "./shelf-view.ts";
import type { WaitingResult } from "./waiting-result.ts";

/** The headings of the ledger; the open one is the step the frame is in. */
export const STEPS = HEADINGS;
export type Step = Heading;

/** What the next click on the picture places. */
export type Pick =
  | { readonly kind: "mark" }
  | { readonly kind: "scale"; readonly end: "a" | "b" }
  | { readonly kind: "plumb"; readonly end: "top" | "bottom" }
  | { readonly kind: "rod"; readonly at: number; readonly end: "a" | "b" }
  | { readonly kind: "level"; readonly end: "left" | "right" }
  | { readonly kind: "control" }
  | { readonly kind: "straight" }
  | { readonly kind: "edge" }
  | { readonly kind: "crossing" };

/** Something on the picture that can be dragged, nudged and removed. */
export type Handle =
  | { readonly kind: "mark"; readonly pointId: string }
  | { readonly kind: "scale"; readonly end: "a" | "b" }
  | { readonly kind: "plumb"; readonly end: "top" | "bottom" }
  | { readonly kind: "rod"; readonly at: number; readonly end: "a" | "b" }
  | { readonly kind: "level"; readonly end: "left" | "right" }
  | { readonly kind: "control"; readonly at: number }
  | { readonly kind: "straight"; readonly line: number; readonly at: number }
  | { readonly kind: "edge"; readonly sweep: number; readonly at: number }
  | { readonly kind: "crossing"; readonly at: number };

/** What happens after a mark is placed. */
export type AfterMark = "stay" | "next-point" | "next-frame";

/** Whether the newest changes are in the results: not yet, quickly, or wholly. */
export type Measuring = "behind" | "refining" | "settled";

export type { AppNotice } from "./app-notice.ts";

/** An earlier state that is looked at in the document's place; nothing is changed until it is taken. */
export interface Peek {
  readonly says: string;
  /** ISO 8601 */
  readonly at: string;
  /** the history as it is */
  readonly kept: History;
  /** id of the offer that is looked at */
  readonly offer?: string;
}

/** A state that would be lost unless the person takes it: looked at first, then taken or left. */
export type Offer =
  | {
      readonly kind: "unsaved";
      readonly id: string;
      /** what was done and not saved, in order */
      readonly says: readonly string[];
      readonly at: string;
      /** null where only the list of what was done is left */
      readonly session: Session | null;
    }
  | { readonly kind: "outside"; readonly id: string; readonly moment: string };

/** What following a point came to; kept while the window is open. */
export interface FollowNote {
  readonly says: string;
  /** Why it ended early, and in which frame; null when it came to the clip's end. */
  readonly end: { readonly frame: number; readonly fault: Fault } | null;
  readonly more: readonly string[];
  /** Marks to look at that were not accepted yet. */
  readonly doubtful: readonly { readonly frame: number; readonly text: string }[];
}

/** Everything the window knows. The document is `history.present`; the rest is not saved. */
export interface AppState {
  readonly phase: "opening" | "ready" | "failed";
  readonly fault: Fault | null;
  readonly host: HostInfo | null;
  readonly folderName: string;
  readonly access: "writable" | "read-only";
  readonly readOnlyReason: string | null;
  readonly clips: readonly ClipEntry[];
  readonly history: History;
  /** what undo or redo did last; null once something else was done */
  readonly walked: EditWords | null;
  readonly peek: Peek | null;
  readonly offers: readonly Offer[];
  readonly save: SaveState;
  /** What the middle of the window shows. */
  readonly face: Face;
  readonly day: DayView;
  /** id of the figure that is open over the frame's place */
  readonly large: string | null;
  /** heading or word at which the guide is open; null while it is closed */
  readonly guide: string | null;
  /** what is true of made-up clips, as of the example's */
  readonly truth: Truth | null;
  readonly shotId: string | null;
  readonly step: Step | null;
  readonly frame: number;
  readonly direction: 1 | -1;
  readonly pointId: string | null;
  readonly pick: Pick | null;
  readonly selected: Handle | null;
  readonly pending: PendingPicks;
  readonly sketch: Sketch;
  /** The field of the ledger that what was picked last waits for: it takes the focus. */
  readonly askedField: string | null;
  readonly afterMark: AfterMark;
  /** Clicks go to the middle of the target under them. */
  readonly snaps: boolean;
  /** by clip: what was found in it; none of it counts until it is taken */
  readonly proposals: Readonly<Record<string, Proposals>>;
  /** Which of those that can be taken now the keyboard takes, by its place. */
  readonly lit: number;
  /** The person went to this frame, or placed something in it: it is not left for another by itself. */
  readonly frameChosen: boolean;
  readonly playing: boolean;
  readonly playback: Playback;
  readonly look: PictureLook;
  readonly known: Readonly<Record<string, ClipKnowledge>>;
  /** By a clip that is gone or another one by now: the file that holds what was marked. */
  readonly found: Readonly<Record<string, string>>;
  /** by clip: frames that cannot be shown, as far as they are known */
  readonly damaged: Readonly<Record<string, readonly DamagedFrame[]>>;
  readonly results: Readonly<Record<string, ShotResult>>;
  readonly measuring: Measuring;
  /** Clips wait for a look whether their camera moved, which may yet refuse a shot. */
  readonly looking: boolean;
  /** by shot: a former one's set-up on its clip, as far as it was looked for */
  readonly carried: Readonly<Record<string, CarriedSetUp>>;
  /** by the key of the work */
  readonly follows: Readonly<Record<string, FollowNote>>;
  readonly jobs: readonly JobView[];
  /** Results of jobs that a person has not taken into the document yet. */
  readonly waiting: readonly WaitingResult[];
  /** Why the last tuning could not be done. */
  readonly tuneFault: Fault | null;
  readonly shelf: ShelfView;
  readonly outings: OutingsView;
  readonly notices: readonly AppNotice[];
}

/** The window before anything is open. */
export function emptyState(blank: Session): AppState {
  return {
    phase: "opening",
    fault: null,
    host: null,
    folderName: "",
    access: "writable",
    readOnlyReason: null,
    clips: [],
    history: startHistory(blank),
    walked: null,
    peek: null,
    offers: [],
    save: { status: "saved" },
    face: "frame",
    day: FRESH_DAY,
    large: null,
    guide: null,
    truth: null,
    shotId: null,
    step: null,
    frame: 0,
    direction: 1,
    pointId: null,
    pick: null,
    selected: null,
    pending: NO_PICKS,
    sketch: NO_SKETCH,
    askedField: null,
    afterMark: "next-frame",
    snaps: false,
    proposals: {},
    lit: 0,
    frameChosen: false,
    playing: false,
    playback: { hz: 30, loop: "no" },
    look: AS_FILMED,
    known: {},
    found: {},
    damaged: {},
    results: {},
    measuring: "settled",
    looking: false,
    carried: {},
    follows: {},
    jobs: [],
    waiting: [],
    tuneFault: null,
    shelf: NOT_LOOKED_AT,
    outings: NO_STANDINGS,
    notices: [],
  };
}

export function sessionOf(state: AppState): Session {
  return state.history.present;
}

export function shotOf(state: AppState): Shot | null {
  return state.history.present.shots.find((shot) => shot.id === state.shotId) ?? null;
}

export function factsOf(state: AppState): ClipFacts | null {
  const clip = shotOf(state)?.clip ?? null;
  const knowledge = clip === null ? undefined : state.known[clip];
  return knowledge?.status === "known" ? knowledge.facts : null;
}

export function resultOf(state: AppState): ShotResult | null {
  return state.shotId === null ? null : (state.results[state.shotId] ?? null);
}

/** The mark of a point in a frame, if there is one. */
export function markAt(shot: Shot | null, pointId: string | null, frame: number): Mark | null {
  return shot?.marks.find((mark) => mark.frame === frame && mark.pointId === pointId) ?? null;
}

/** Goes to a frame of the clip (held inside it); a selected mark of another frame is let go. */
export function atFrame(state: AppState, frame: number): AppState {
  const count = factsOf(state)?.pts.length ?? 0;
  const held = Math.max(0, Math.min(Math.round(frame), count - 1));
  if (held === state.frame) return state;
  return {
    ...state,
    frame: held,
    direction: held > state.frame ? 1 : -1,
    selected: ofOneFrame(state.selected) ? null : state.selected,
  };
}

/** Whether a handle belongs to the frame it was chosen in. */
function ofOneFrame(handle: Handle | null): boolean {
  return handle?.kind === "mark" || handle?.kind === "edge" || handle?.kind === "crossing";
}

/** Opens a heading (or closes all, with null) and readies the pick that belongs to it. */
export function atStep(state: AppState, step: Step | null): AppState {
  return { ...state, step, pick: pickFor(state, step), selected: null, lit: 0, playing: false };
}

/** What a click places in a step: a mark in Marks; in Scale the first end that is still missing. */
export function pickFor(state: AppState, step: Step | null): Pick | null {
  if (step === "marks") return state.pointId === null ? null : { kind: "mark" };
  if (step !== "scale") return null;
  const shot = shotOf(state);
  if (shot === null) return null;
  if (shot.scale === null && state.pending.scaleA === null) return { kind: "scale", end: "a" };
  if (shot.scale === null && state.pending.scaleB === null) return { kind: "scale", end: "b" };
  if (shot.plumb === null && shot.scale !== null) {
    return { kind: "plumb", end: state.pending.plumbTop === null ? "top" : "bottom" };
  }
  return null;
}

/** Another shot in the window, at the frame where it is most worth looking. */
export function atShot(state: AppState, shotId: string | null): AppState {
  const fresh = { selected: null, pick: null, pending: NO_PICKS, sketch: NO_SKETCH, playing: false };
  const next = { ...state, ...fresh, shotId, frame: 0, lit: 0, frameChosen: false };
  const session = sessionOf(state);
  const shot = shotOf(next);
  const found = state.proposals[shot?.clip ?? ""]?.frame;
  const points = pointsOf(session.points, airframeOf(session, shot).id);
  const before = session.points.find(({ id }) => id === state.pointId);
  const same = points.find(({ id }) => id === before?.id) ?? points.find(({ name }) => name === before?.name);
  const pointId = (same ?? points[0])?.id ?? null;
  const placed = { ...next, pointId, frame: frameWorthSeeing(shot, resultOf(next), found) };
  return { ...placed, pick: pickFor(placed, placed.step) };
}

/** The first step that still lacks something a result needs; Motion when nothing does. */
export function firstOpenStep(shot: Shot | null): Step {
  if (shot === null || shot.clip === null) return "clip";
  if (shot.clock === null) return "clock";
  const rolled = shot.plumb !== null || shot.level !== undefined;
  if (shot.control === undefined && (shot.scale === null || !rolled)) return "scale";
  // fewer marks than a handful of frames give no motion yet
  return shot.marks.length < 12 ? "marks" : "motion";
}
