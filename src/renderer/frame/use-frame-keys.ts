import { useRef } from "react";
import { useTools } from "../actions/app-context.ts";
import { type AppState, shotOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { handlesOf } from "./handles.ts";

const REVEAL_PX = 80; // css px from the view's edge

/** Whether Tab in the frame goes to the next point instead of out of the frame. */
export function tabGoesRound(state: AppState): boolean {
  return state.step === "marks" && pointsInView(state).length > 1;
}

function isPlain({ ctrlKey, altKey, metaKey }: React.KeyboardEvent): boolean {
  return !ctrlKey && !altKey && !metaKey;
}

/**
 * The keys that belong to the frame alone: Space plays when tapped and pans when held while dragging; Tab
 * goes round the points where there are several, and leaves the frame after Escape, so that the keyboard is
 * never caught here; E goes round what can be moved.
 */
export function useFrameKeys(view: React.RefObject<HTMLElement | null>) {
  const { actions, viewportControl } = useTools();
  const held = useRef(false);
  const dragged = useRef(false);
  const leaving = useRef(false);

  function onKeyDown(event: React.KeyboardEvent): void {
    if (event.target !== view.current) return;
    if (event.key === " ") holdSpace(event);
    else if (event.key === "Escape") leaving.current = true;
    else if (event.key === "Tab" && isPlain(event)) {
      if (leaving.current || !tabGoesRound(actions.store.get())) return;
      event.preventDefault();
      nextPoint(event.shiftKey ? -1 : 1);
    } else {
      leaving.current = false;
      if (isPlain(event) && event.key.toLowerCase() === "e") nextHandle(event.shiftKey ? -1 : 1);
    }
  }

  function holdSpace(event: React.KeyboardEvent): void {
    event.preventDefault();
    if (event.repeat) return;
    held.current = true;
    dragged.current = false;
  }

  function onKeyUp(event: React.KeyboardEvent): void {
    if (event.key !== " " || event.target !== view.current) return;
    event.preventDefault();
    if (held.current && !dragged.current) actions.play(!actions.store.get().playing);
    held.current = false;
  }

  function nextPoint(by: 1 | -1): void {
    const state = actions.store.get();
    const points = pointsInView(state);
    if (points.length === 0) return;
    const at = points.findIndex((point) => point.id === state.pointId);
    actions.choosePoint(points[(at + by + points.length) % points.length]!.id);
  }

  /** Selects the next thing on the picture that can be moved here, and shows it. */
  function nextHandle(by: 1 | -1): void {
    const state = actions.store.get();
    const shot = shotOf(state);
    if (shot === null) return;
    const all = handlesOf(shot, state.pending, state.frame, state.step, state.sketch);
    const now = JSON.stringify(state.selected);
    const at = all.findIndex(({ handle }) => JSON.stringify(handle) === now);
    const next = all[at < 0 ? (by === 1 ? 0 : all.length - 1) : (at + by + all.length) % all.length];
    if (next === undefined) return;
    actions.select(next.handle);
    viewportControl.reveal(next.at, REVEAL_PX);
  }

  function spaceHeld(): boolean {
    if (held.current) dragged.current = true;
    return held.current;
  }

  return { onKeyDown, onKeyUp, spaceHeld };
}
