import { useState } from "react";
import { useActions, useAppState } from "../actions/app-context.ts";
import { AS_FILMED, type PictureLook as Look } from "../app-state/playback.ts";
import { PlayChoices } from "./PlayChoices.tsx";

const RANGE = { min: 0.4, max: 3, step: 0.05 } as const;
const NAMES: readonly (readonly [keyof Look, string])[] = [
  ["brightness", "Brightness"],
  ["contrast", "Contrast"],
];

/** How fast it plays and what it does at the end; brightness and contrast, for seeing only. */
export function ViewSheet() {
  const actions = useActions();
  const look = useAppState((s) => s.look);
  const [open, setOpen] = useState(false);
  const changed = look.brightness !== 1 || look.contrast !== 1;
  return (
    <>
      <button
        type="button"
        className="quiet"
        aria-expanded={open}
        title="Playing, brightness and contrast"
        onClick={() => setOpen(!open)}
      >
        View{changed ? " (changed)" : ""}
      </button>
      {open ? (
        <div className="look-sheet">
          <PlayChoices />
          {NAMES.map(([name, words]) => (
            <label key={name}>
              {words}
              <input
                type="range"
                {...RANGE}
                value={look[name]}
                onChange={(event) => actions.setLook({ [name]: Number(event.target.value) })}
              />
            </label>
          ))}
          <button type="button" disabled={!changed} onClick={() => actions.setLook(AS_FILMED)}>
            As filmed
          </button>
          <p>Only what you see changes; the follower takes the picture as it was filmed.</p>
        </div>
      ) : null}
    </>
  );
}
