import { useEffect } from "react";
import { toScreen } from "../frame/viewport.ts";
import { type Tools, useTools } from "./desk-context.ts";
import { canFollow } from "./desk-follow.ts";
import { factsOf, sessionOf } from "./desk-state.ts";
import { type Command, commandFor } from "./keys.ts";
import { takesLamp } from "./lamp-changes.ts";
import { activeHandle, likelyPlace, placeOf } from "./picks.ts";

const REVEAL_PX = 80; // css px from the view's edge that a nudged or placed mark is kept at

/** The keys that work everywhere but in a field one types in. */
export function useGlobalKeys(): void {
  const tools = useTools();
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent) => {
      if (event.defaultPrevented || takesKeys(event.target, event)) return;
      const command = commandFor(event);
      if (event.repeat && (command?.kind === "lamp" || command?.kind === "follow")) return; // a key held down is one press
      if (command !== null && run(command, tools, event.target)) event.preventDefault();
    };
    window.addEventListener("keydown", onKeyDown);
    return () => window.removeEventListener("keydown", onKeyDown);
  }, [tools]);
}

/** Fields keep their keys; a button or link keeps Enter; a list of choices its arrows. */
function takesKeys(target: EventTarget | null, event: KeyboardEvent): boolean {
  if (!(target instanceof HTMLElement)) return false;
  if (target.closest("dialog") !== null) return true;
  if (target.matches("input, textarea, select, [contenteditable]")) return true;
  return event.key === "Enter" && target.matches("button, a, summary");
}

/** @returns whether the key did something, so that the browser should not also act on it */
function run(command: Command, { desk, stage }: Tools, target: EventTarget | null): boolean {
  const state = desk.store.get();
  switch (command.kind) {
    case "step":
    case "go": {
      const count = factsOf(state)?.pts.length ?? 0;
      performance.mark("step-start");
      if (command.kind === "step") desk.stepBy(command.by);
      else desk.goTo(command.to === "first" ? 0 : count - 1);
      if (desk.store.get().frame === state.frame) performance.clearMarks("step-start");
      return true;
    }
    case "nudge":
      desk.nudge(command.dx, command.dy);
      reveal({ desk, stage });
      return true;
    case "remove":
      desk.remove();
      return true;
    case "place": {
      if (state.pick === null || !(target instanceof HTMLElement) || !target.matches(".frame")) return false;
      placeByKey({ desk, stage });
      return true;
    }
    case "choose-point": {
      const point = sessionOf(state).points[command.index];
      if (point !== undefined) desk.choosePoint(point.id);
      return point !== undefined;
    }
    case "undo":
      desk.undo();
      return true;
    case "redo":
      desk.redo();
      return true;
    case "zoom":
      stage.zoomStep(command.by, pointOfInterest({ desk, stage }));
      return true;
    case "fit":
      stage.showWhole();
      return true;
    case "lamp":
      if (!takesLamp(state)) return false;
      desk.turnLamp(state.frame);
      return true;
    case "follow":
      if (state.step !== "marks" || !canFollow(state)) return false;
      void desk.follow(command.back);
      return true;
    case "cancel":
      desk.cancel();
      return true;
  }
}

type Reach = Pick<Tools, "desk" | "stage">;

/** Places by keyboard where the mark is likely, else in the middle of the view, and stays there to be nudged. */
function placeByKey({ desk, stage }: Reach): void {
  const state = desk.store.get();
  const { view, viewport } = stage.store.get();
  const middle = [
    (view.width / 2 - viewport.x) / viewport.scale,
    (view.height / 2 - viewport.y) / viewport.scale,
  ] as const;
  const place = state.pick?.kind === "mark" ? (likelyPlace(state) ?? middle) : middle;
  const { afterMark } = state;
  desk.afterMark("stay");
  desk.pickAt(place);
  desk.afterMark(afterMark);
  reveal({ desk, stage });
}

function reveal({ desk, stage }: Reach): void {
  const handle = activeHandle(desk.store.get());
  const place = handle === null ? null : placeOf(desk.store.get(), handle);
  if (place !== null) stage.reveal(place, REVEAL_PX);
}

function pointOfInterest({ desk, stage }: Reach): readonly [number, number] | undefined {
  const handle = activeHandle(desk.store.get());
  const place = handle === null ? null : placeOf(desk.store.get(), handle);
  if (place === null) return undefined;
  const { view, viewport } = stage.store.get();
  const at = toScreen(viewport, place);
  const seen = at[0] >= 0 && at[1] >= 0 && at[0] <= view.width && at[1] <= view.height;
  return seen ? at : undefined;
}
