import { useEffect } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";
import { factsOf } from "../app-state/app-state.ts";

const PLAY_HZ = 30; // frames shown a second: slow motion plays slow whatever the clip's own rate

/** While playing, the next frame at each beat that finds it decoded; it stops at the end of the clip. */
export function usePlayback(isReady: (frame: number) => boolean): void {
  const actions = useActions();
  const playing = useAppState((s) => s.playing);
  useEffect(() => {
    if (!playing) return;
    let request = 0;
    let next = performance.now();
    const beat = (now: number) => {
      request = requestAnimationFrame(beat);
      const state = actions.store.get();
      const last = (factsOf(state)?.pts.length ?? 0) - 1;
      if (state.frame >= last) return actions.play(false);
      if (now < next || !isReady(state.frame + 1)) return;
      next = Math.max(next + 1000 / PLAY_HZ, now - 1000 / PLAY_HZ);
      actions.stepBy(1);
    };
    request = requestAnimationFrame(beat);
    return () => cancelAnimationFrame(request);
  }, [playing, actions, isReady]);
}
