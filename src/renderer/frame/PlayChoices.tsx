import { useActions, useAppState } from "../actions/app-context.ts";
import { resultOf } from "../app-state/app-state.ts";
import type { Playback } from "../app-state/playback.ts";

export const SPEEDS = [3, 10, 30, 60] as const; // frames a second

/** How fast it plays, and what it does at the end. */
export function PlayChoices() {
  const actions = useActions();
  const { hz, loop } = useAppState((s) => s.playback);
  const measured = useAppState((s) => resultOf(s)?.measurement != null);
  return (
    <>
      <label>
        Frames shown a second
        <select value={hz} onChange={(event) => actions.setPlayback({ hz: Number(event.target.value) })}>
          {SPEEDS.map((one) => (
            <option key={one} value={one}>
              {one}/s
            </option>
          ))}
        </select>
      </label>
      <label>
        At the end
        <select
          value={loop}
          onChange={(event) => actions.setPlayback({ loop: event.target.value as Playback["loop"] })}
        >
          <option value="no">once</option>
          <option value="push" disabled={!measured}>
            loop the push
          </option>
          <option value="clip">loop the clip</option>
        </select>
      </label>
    </>
  );
}
