import type { Lamp } from "../../shared/session/schema.ts";
import { type AppState, shotOf } from "../app-state/app-state.ts";

/**
 * Whether the lamp's key notes a change now: its interval is given, and its heading is the one that is open.
 */
export function takesLamp(state: AppState): boolean {
  const shot = shotOf(state);
  return state.step === "clock" && shot?.lamp !== undefined && shot.clock?.kind === "capture-rate";
}

/** The lamp with a change in a frame, or without it when it had one there. */
export function lampTurned(lamp: Lamp, frame: number): Lamp {
  const frames = lamp.frames.includes(frame)
    ? lamp.frames.filter((one) => one !== frame)
    : [...lamp.frames, frame].sort((a, b) => a - b);
  return { ...lamp, frames };
}
