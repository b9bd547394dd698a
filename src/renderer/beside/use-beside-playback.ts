import { useEffect, useRef, useSyncExternalStore } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";

export const CALM_HZ = 3; // steps a second for a person who asks for less motion: seen one by one

const LESS_MOTION = "(prefers-reduced-motion: reduce)";

/** Whether the person's system asks for less motion. */
export function useLessMotion(): boolean {
  return useSyncExternalStore(
    (changed) => {
      const query = matchMedia(LESS_MOTION);
      query.addEventListener("change", changed);
      return () => query.removeEventListener("change", changed);
    },
    () => matchMedia(LESS_MOTION).matches,
  );
}

interface Steps {
  readonly at: number;
  readonly last: number;
  /** Whether both pictures of a step are there. */
  readonly isReady: (step: number) => boolean;
  readonly goTo: (step: number) => void;
}

/**
 * While playing, the next step at each beat that finds both of its pictures decoded: as many a second as the
 * frame plays, at most three where less motion is asked for. It stops at the last step.
 */
export function useBesidePlayback(steps: Steps, lessMotion: boolean): void {
  const actions = useActions();
  const playing = useAppState((s) => s.day.pictures.playing);
  const now = useRef(steps);
  now.current = steps;
  useEffect(() => {
    if (!playing) return;
    let request = 0;
    let next = performance.now();
    const beat = (time: number) => {
      request = requestAnimationFrame(beat);
      const { at, last, isReady, goTo } = now.current;
      if (at >= last) return actions.playPictures(false);
      if (time < next || !isReady(at + 1)) return;
      const { hz } = actions.store.get().playback;
      const periodMs = 1000 / (lessMotion ? Math.min(hz, CALM_HZ) : hz);
      next = Math.max(next + periodMs, time - periodMs);
      goTo(at + 1);
    };
    request = requestAnimationFrame(beat);
    return () => cancelAnimationFrame(request);
  }, [playing, lessMotion, actions]);
}
