import { useRef } from "react";
import { useTools } from "../actions/app-context.ts";
import { pointsInView } from "../app-state/things-in-view.ts";

/**
 * The keys that belong to the frame alone: Space plays when tapped and pans when held while dragging; Tab
 * goes round the points, and leaves the frame after Escape, so that the keyboard is never caught here.
 */
export function useFrameKeys(view: React.RefObject<HTMLElement | null>) {
  const { actions } = useTools();
  const held = useRef(false);
  const dragged = useRef(false);
  const leaving = useRef(false);

  function onKeyDown(event: React.KeyboardEvent): void {
    if (event.target !== view.current) return;
    if (event.key === " ") {
      event.preventDefault();
      if (!event.repeat) {
        held.current = true;
        dragged.current = false;
      }
      return;
    }
    if (event.key === "Escape") leaving.current = true;
    else if (event.key === "Tab" && !event.ctrlKey && !event.altKey && !event.metaKey) {
      if (leaving.current || actions.store.get().step !== "marks") return;
      event.preventDefault();
      nextPoint(event.shiftKey ? -1 : 1);
    } else leaving.current = false;
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

  function spaceHeld(): boolean {
    if (held.current) dragged.current = true;
    return held.current;
  }

  return { onKeyDown, onKeyUp, spaceHeld };
}
