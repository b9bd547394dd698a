import { useEffect } from "react";
import { type AppState, factsOf, type Handle, sessionOf } from "../app-state/app-state.ts";
import { pointsInView } from "../app-state/things-in-view.ts";
import { takesLamp } from "../picking/lamp-changes.ts";
import { activeHandle, likelyPlace, placeOf } from "../picking/picks.ts";
import { litProposal } from "../picking/proposed.ts";
import { toScreen } from "../viewport/viewport.ts";
import { type Tools, useTools } from "./app-context.ts";
import { type Command, commandFor } from "./keys.ts";

/** A key held down is one press of these. */
const ONCE: ReadonlySet<Command["kind"]> = new Set(["lamp", "follow", "follow-all"]);
const PAN_SHARE = 0.1; // of the view for each press of an arrow
const REVEAL_PX = 80; // css px from the view's edge that a nudged or placed mark is kept at

/** The keys that work everywhere but in a field one types in. */
export function useGlobalKeys(): void {
  const tools = useTools();
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      const command = commandFor(event);
      if (event.defaultPrevented || takesKeys(event, command)) return;
      if (event.repeat && command !== null && ONCE.has(command.kind)) return;
      if (command !== null && run(command, tools, event.target)) event.preventDefault();
    };
    window.addEventListener("keydown", onKeyDown);
    return () => window.removeEventListener("keydown", onKeyDown);
  }, [tools]);
}

/** Nothing is typed in these, so that they have nothing of their own to undo. */
const WITHOUT_TEXT = "select, input[type=checkbox], input[type=radio]";

/**
 * Fields keep their keys, but for those that a field of one line has no use for; a button or link keeps
 * Enter. While a dialogue is open all keys are its own, also those pressed after a click beside its texts,
 * which leaves no focus.
 */
function takesKeys({ target, key }: KeyboardEvent, command: Command | null): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (document.querySelector("dialog[open]") !== null) return true;
  if (target.matches("input") && /^Page/.test(key)) return false;
  const steps = command?.kind === "undo" || command?.kind === "redo";
  if (steps && target.matches(WITHOUT_TEXT)) return false;
  if (target.matches("input, textarea, select, [contenteditable]")) return true;
  return key === "Enter" && target.matches("button, a, summary");
}

/** @returns whether the key did something, so that the browser should not also act on it */
function run(command: Command, { actions, viewportControl }: Tools, target: EventTarget | null): boolean {
  const state = actions.store.get();
  switch (command.kind) {
    case "step":
    case "go": {
      const count = factsOf(state)?.pts.length ?? 0;
      performance.mark("step-start");
      if (command.kind === "step") actions.stepBy(command.by);
      else actions.goTo(command.to === "first" ? 0 : count - 1);
      if (actions.store.get().frame === state.frame) performance.clearMarks("step-start");
      return true;
    }
    case "shot":
      return nextShot(actions, command.by);
    case "nudge":
      actions.nudge(command.dx, command.dy);
      reveal({ actions, viewportControl });
      return true;
    case "remove":
      actions.remove();
      return true;
    case "place": {
      if (state.pick === null || !(target instanceof HTMLElement) || !target.matches(".frame")) return false;
      const proposal = command.byHand ? null : litProposal(state);
      if (proposal === null) placeByKey({ actions, viewportControl });
      else actions.takeProposal(proposal);
      return true;
    }
    case "light":
      actions.lightProposal(command.by);
      return true;
    case "pan": {
      const { view } = viewportControl.store.get();
      viewportControl.panBy(-command.x * PAN_SHARE * view.width, -command.y * PAN_SHARE * view.height);
      return true;
    }
    case "choose-point": {
      const point = pointsInView(state)[command.index];
      if (point !== undefined) actions.choosePoint(point.id);
      return point !== undefined;
    }
    case "undo":
      actions.undo();
      return true;
    case "redo":
      actions.redo();
      return true;
    case "zoom":
      viewportControl.zoomStep(command.by, pointOfInterest({ actions, viewportControl }));
      return true;
    case "fit":
      viewportControl.showWhole();
      return true;
    case "lamp":
      if (!takesLamp(state)) return false;
      actions.turnLamp(state.frame);
      return true;
    case "follow":
    case "follow-all":
      if (state.shotId === null) return false;
      if (state.step !== "marks") actions.openStep("marks");
      void (command.kind === "follow" ? actions.follow(command.back) : actions.followAll());
      return true;
    case "keys":
      actions.showGuide("Keys");
      return true;
    case "cancel":
      actions.cancel();
      return true;
  }
}

/** Shows the shot after or before the one in the window. */
function nextShot(actions: Tools["actions"], by: 1 | -1): boolean {
  const state = actions.store.get();
  if (state.face !== "frame") return false;
  const { shots } = sessionOf(state);
  const next = shots[shots.findIndex(({ id }) => id === state.shotId) + by];
  if (next === undefined) return false;
  actions.chooseShot(next.id);
  return true;
}

type Reach = Pick<Tools, "actions" | "viewportControl">;

/**
 * Places by keyboard where the mark is likely, else in the middle of the view, and stays there to be nudged.
 */
function placeByKey({ actions, viewportControl }: Reach): void {
  const state = actions.store.get();
  const { view, viewport } = viewportControl.store.get();
  const middle = [
    (view.width / 2 - viewport.x) / viewport.scale,
    (view.height / 2 - viewport.y) / viewport.scale,
  ] as const;
  const place = state.pick?.kind === "mark" ? (likelyPlace(state) ?? middle) : middle;
  const { afterMark } = state;
  actions.afterMark("stay");
  actions.pickAt(place);
  actions.afterMark(afterMark);
  const placed = handleOf(state.pick);
  if (placed !== null && placeOf(actions.store.get(), placed) !== null) actions.select(placed);
  reveal({ actions, viewportControl });
}

/** What a pick places that can be nudged at once. */
function handleOf(pick: AppState["pick"]): Handle | null {
  return pick?.kind === "scale" || pick?.kind === "plumb" ? pick : null;
}

function reveal({ actions, viewportControl }: Reach): void {
  const handle = activeHandle(actions.store.get());
  const place = handle === null ? null : placeOf(actions.store.get(), handle);
  if (place !== null) viewportControl.reveal(place, REVEAL_PX);
}

function pointOfInterest({ actions, viewportControl }: Reach): readonly [number, number] | undefined {
  const handle = activeHandle(actions.store.get());
  const place = handle === null ? null : placeOf(actions.store.get(), handle);
  if (place === null) return undefined;
  const { view, viewport } = viewportControl.store.get();
  const at = toScreen(viewport, place);
  const seen = at[0] >= 0 && at[1] >= 0 && at[0] <= view.width && at[1] <= view.height;
  return seen ? at : undefined;
}
