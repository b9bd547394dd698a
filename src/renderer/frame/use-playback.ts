import { useEffect } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";
import { type AppState, factsOf, resultOf, shotOf } from "../app-state/app-state.ts";
import { launchInstants } from "../strip/instants.ts";
import { stripTime } from "../strip/strip-plan.ts";

const AFTER_RELEASE = 6; // frames of flight that a looped push ends with: it is seen to leave

/**
 * While playing, the next frame at each beat that finds it decoded: so many a second, whatever the clip's own
 * rate. At the end it stops, or goes on from the beginning of the clip or of the push.
 */
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
      const { hz, loop } = state.playback;
      const { from, to } = rangeOf(state);
      if (state.frame >= to) {
        if (loop === "no") return actions.play(false);
        if (now >= next) actions.goTo(from);
        next = now + 1000 / hz;
        return;
      }
      if (now < next || !isReady(state.frame + 1)) return;
      next = Math.max(next + 1000 / hz, now - 1000 / hz);
      actions.stepBy(1);
    };
    request = requestAnimationFrame(beat);
    return () => cancelAnimationFrame(request);
  }, [playing, actions, isReady]);
}

/** The frames that are played: the clip, or from first motion until a little after release. */
function rangeOf(state: AppState): { readonly from: number; readonly to: number } {
  const [shot, facts, measurement] = [shotOf(state), factsOf(state), resultOf(state)?.measurement ?? null];
  const last = (facts?.pts.length ?? 0) - 1;
  if (state.playback.loop !== "push" || shot === null || facts === null || measurement === null)
    return { from: 0, to: last };
  const time = stripTime(shot, facts, measurement);
  const instants = launchInstants(measurement, time, facts.pts.length);
  const frameOf = (name: string, none: number) => instants.find((one) => one.name === name)?.frame ?? none;
  return {
    from: frameOf("first motion", 0),
    to: Math.min(last, frameOf("release", last) + AFTER_RELEASE),
  };
}
