import { useEffect } from "react";
import { useDesk, useDeskState } from "../state/desk-context.ts";
import { factsOf } from "../state/desk-state.ts";

const PLAY_HZ = 30; // frames shown a second: slow motion plays slow whatever the clip's own rate

/** While playing, the next frame at each beat that finds it decoded; it stops at the end of the clip. */
export function usePlayback(isReady: (frame: number) => boolean): void {
  const desk = useDesk();
  const playing = useDeskState((s) => s.playing);
  useEffect(() => {
    if (!playing) return;
    let request = 0;
    let next = performance.now();
    const beat = (now: number) => {
      request = requestAnimationFrame(beat);
      const state = desk.store.get();
      const last = (factsOf(state)?.pts.length ?? 0) - 1;
      if (state.frame >= last) return desk.play(false);
      if (now < next || !isReady(state.frame + 1)) return;
      next = Math.max(next + 1000 / PLAY_HZ, now - 1000 / PLAY_HZ);
      desk.stepBy(1);
    };
    request = requestAnimationFrame(beat);
    return () => cancelAnimationFrame(request);
  }, [playing, desk, isReady]);
}
