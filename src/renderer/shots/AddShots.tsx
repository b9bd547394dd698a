import { useState } from "react";
import type { ClipEntry } from "../../shared/api/contract.ts";
import { useActions, useAppState, useTools } from "../actions/app-context.ts";
import { sessionOf } from "../app-state/app-state.ts";
import { usableClips } from "../app-state/usable-clips.ts";
import { useStore } from "../store/store.ts";

/**
 * The folder's clips to make shots of: all new ones at once in the order they were filmed, or one. A clip
 * that is copied into the folder while it is open appears by itself.
 */
export function AddShots() {
  const actions = useActions();
  const shots = useAppState(sessionOf).shots;
  const clips = usableClips(useAppState((s) => s.clips));
  const [adding, setAdding] = useState(false);
  if (clips.length === 0) return null;
  const used = new Set(shots.map(({ clip }) => clip));
  const fresh = clips.filter(({ name }) => !used.has(name));
  const listed = [...fresh, ...clips.filter(({ name }) => used.has(name))];
  return (
    <div className="shots-add">
      {fresh.length > 1 || (fresh.length === 1 && shots.length > 0) ? (
        <button type="button" onClick={() => actions.addShots(fresh)}>
          Add {fresh.length === 1 ? "the new clip" : `all ${fresh.length} clips`}
        </button>
      ) : null}
      <button type="button" className="quiet" aria-expanded={adding} onClick={() => setAdding(!adding)}>
        Add a shot
      </button>
      {adding ? (
        <ul>
          {listed.map((clip) => (
            <li key={clip.name}>
              <ClipButton
                clip={clip}
                used={used.has(clip.name)}
                onChoose={() => {
                  setAdding(false);
                  actions.addShot(clip);
                }}
              />
            </li>
          ))}
        </ul>
      ) : null}
    </div>
  );
}

/** A clip with its first picture, when it was filmed, and how long it plays once that is known. */
function ClipButton(props: {
  readonly clip: ClipEntry;
  readonly used: boolean;
  readonly onChoose: () => void;
}) {
  const { clip, used, onChoose } = props;
  const { actions, viewportControl } = useTools();
  const pictureShown = useStore(viewportControl.store, (s) => s.shown);
  const first = useAppState((s) => sessionOf(s).shots.length === 0);
  const seconds = useAppState((s) => {
    const knowledge = s.known[clip.name];
    return knowledge?.status === "known" ? knowledge.facts.durationS : null;
  });
  return (
    <button type="button" className="clip-choice" title={clip.name} onClick={onChoose}>
      {pictureShown || first ? (
        <img src={actions.service.frameUrl(clip.name, 0, "half", clip)} alt="" loading="lazy" />
      ) : null}
      <span>
        {clip.name}
        {used ? " (again)" : ""}
      </span>
      <span className="clip-when">
        {WHEN.format(clip.modifiedMs)}
        {seconds === null ? "" : `, plays ${seconds.toFixed(1)} s`}
      </span>
    </button>
  );
}

const WHEN = new Intl.DateTimeFormat(undefined, {
  month: "short",
  day: "numeric",
  hour: "2-digit",
  minute: "2-digit",
  hour12: false,
});
