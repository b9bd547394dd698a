import { useCallback, useEffect, useRef, useState } from "react";
import type { FoundTarget } from "../../shared/propose/find-targets.ts";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useTools } from "../actions/app-context.ts";
import { type Handle, shotOf } from "../app-state/app-state.ts";
import { takesTargets } from "../picking/picks.ts";
import { proposalsHere } from "../picking/proposed.ts";
import { type Place, toPicture, toScreen } from "../viewport/viewport.ts";
import { handleNear, handlesOf } from "./handles.ts";
import { proposalUnder } from "./overlay-proposals.ts";

const REACH_PX = 12; // css px around a handle that grab it
const DRAG_PX = 3; // css px of travel that make a press a drag and not a click

const SNAP_PX = 14; // css px from a click to the middle of the target that it means
const MOST_SNAP_PX = 20; // picture px: what a click takes is looked at this far around it

/** The target whose middle lies nearest to a place of the picture, within a reach, px. */
export type TargetNear = (place: Place, reach: number) => Pick<FoundTarget, "at" | "uPx"> | null;

const NO_TARGET: Fault = {
  code: "no-target",
  cause: "No target was found under the click, so nothing was placed.",
  remedy:
    "Click nearer to its middle once the picture is sharp, or place it by hand: without Shift, or with the choice off.",
};

/** What the pointer is doing in the frame. */
export interface PointerWork {
  /** css px in the view; null when the pointer is elsewhere */
  readonly at: Place | null;
  /** a handle on its way, and where it is now, picture px */
  readonly drag: { readonly handle: Handle; readonly to: Place } | null;
  readonly panning: boolean;
}

type Press =
  | { readonly kind: "pan"; last: Place }
  | {
      readonly kind: "press";
      readonly from: Place;
      readonly handle: Handle | null;
      readonly offset: Place;
      moved: boolean;
    };

const IDLE: PointerWork = { at: null, drag: null, panning: false };

/** Click places, drag on a handle moves it, drag on the picture pans, the wheel zooms at the pointer. */
export function useFramePointer(
  view: React.RefObject<HTMLElement | null>,
  spaceHeld: () => boolean,
  targetNear: React.RefObject<TargetNear>,
) {
  const { actions, viewportControl } = useTools();
  const [work, setWork] = useState<PointerWork>(IDLE);
  const press = useRef<Press | null>(null);
  const dragTo = useRef<PointerWork["drag"]>(null);

  const placeIn = useCallback(
    (event: { clientX: number; clientY: number }): Place => {
      const box = view.current?.getBoundingClientRect();
      return [event.clientX - (box?.left ?? 0), event.clientY - (box?.top ?? 0)];
    },
    [view],
  );

  function onPointerDown(event: React.PointerEvent): void {
    view.current?.focus({ preventScroll: true });
    if (event.button !== 0 && event.button !== 1) return;
    event.preventDefault();
    view.current?.setPointerCapture(event.pointerId);
    const from = placeIn(event);
    if (event.button === 1 || spaceHeld()) {
      press.current = { kind: "pan", last: from };
      setWork({ at: from, drag: null, panning: true });
      return;
    }
    const state = actions.store.get();
    const shot = shotOf(state);
    const { viewport } = viewportControl.store.get();
    const handles =
      shot === null ? [] : handlesOf(shot, state.pending, state.frame, state.step, state.sketch);
    const near = handleNear(handles, viewport, from, REACH_PX);
    const lies = near === null ? from : toScreen(viewport, near.at);
    press.current = {
      kind: "press",
      from,
      handle: near?.handle ?? null,
      offset: [lies[0] - from[0], lies[1] - from[1]],
      moved: false,
    };
  }

  function onPointerMove(event: React.PointerEvent): void {
    const at = placeIn(event);
    const now = press.current;
    if (now === null) {
      setWork({ at, drag: null, panning: false });
      return;
    }
    if (now.kind === "press" && !now.moved) {
      if (Math.hypot(at[0] - now.from[0], at[1] - now.from[1]) < DRAG_PX) return;
      now.moved = true;
      if (now.handle === null) press.current = { kind: "pan", last: now.from };
    }
    const moving = press.current;
    if (moving?.kind === "pan") {
      viewportControl.panBy(at[0] - moving.last[0], at[1] - moving.last[1]);
      moving.last = at;
      setWork({ at, drag: null, panning: true });
    } else if (moving?.handle) {
      const to = toPicture(viewportControl.store.get().viewport, [
        at[0] + moving.offset[0],
        at[1] + moving.offset[1],
      ]);
      dragTo.current = { handle: moving.handle, to };
      setWork({ at, drag: dragTo.current, panning: false });
    }
  }

  function onPointerUp(event: React.PointerEvent): void {
    const done = press.current;
    press.current = null;
    const at = placeIn(event);
    setWork({ at, drag: null, panning: false });
    if (done?.kind !== "press") return;
    if (dragTo.current !== null) {
      actions.moveTo(dragTo.current.handle, dragTo.current.to);
      dragTo.current = null;
      return;
    }
    const state = actions.store.get();
    const { viewport } = viewportControl.store.get();
    const place = toPicture(viewport, at);
    const proposal = proposalUnder(viewport, proposalsHere(state), at);
    if (state.pick === null) actions.select(done.handle);
    else if (event.altKey)
      actions.pickAt(place); // by hand, whatever was found there
    else if (proposal !== null) actions.takeProposal(proposal);
    else if (!takesTargets(state) || state.snaps === event.shiftKey) actions.pickAt(place);
    else {
      const found = targetNear.current(place, Math.min(MOST_SNAP_PX, SNAP_PX / viewport.scale));
      if (found === null) actions.tell("note", NO_TARGET);
      else actions.pickAt(found.at, found.uPx);
    }
  }

  function onPointerCancel(): void {
    press.current = null;
    dragTo.current = null;
    setWork(IDLE);
  }

  useEffect(() => {
    const element = view.current;
    if (element === null) return;
    // React's wheel listeners are passive, and a passive one cannot keep the page from zooming instead.
    const onWheel = (event: WheelEvent) => {
      event.preventDefault();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 33 : 1;
      if (event.shiftKey) return viewportControl.panBy(-(event.deltaX || event.deltaY) * lines, 0);
      viewportControl.zoomBy(2 ** ((-event.deltaY * lines) / 400), placeIn(event));
    };
    element.addEventListener("wheel", onWheel, { passive: false });
    return () => element.removeEventListener("wheel", onWheel);
  }, [view, viewportControl, placeIn]);

  return {
    work,
    cancelDrag: onPointerCancel,
    handlers: {
      onPointerDown,
      onPointerMove,
      onPointerUp,
      onPointerCancel,
      onPointerLeave: () => press.current === null && setWork(IDLE),
    },
  };
}
