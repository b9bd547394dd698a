import type { Camera } from "../../../shared/session/schema.ts";
import { useActions } from "../../actions/app-context.ts";
import { Worded } from "../../guide/Worded.tsx";
import { numbersHeld } from "../parts/sentences.ts";
import type { LensFound } from "./lens-words.ts";

export interface FoundLensProps {
  readonly found: LensFound | null;
  /** undefined when the shot does not say which camera filmed it */
  readonly camera: Camera | undefined;
  /** The lens is kept: what it was found from has served. */
  readonly onKept: () => void;
}

/** What a search for the lens came to, and the way to keep it with the camera. */
export function FoundLens({ found, camera, onKept }: FoundLensProps) {
  const actions = useActions();
  if (found === null) return null;
  const { lens, text } = found;
  return (
    <>
      <p className={lens === null ? "plain" : "plain-says"} role="status">
        <Worded text={numbersHeld(text)} />
      </p>
      {lens === null ? null : camera === undefined ? (
        <p className="field-hint">Say under Clock which camera this is, to keep the lens with it.</p>
      ) : (
        <p className="plain">
          <button
            type="button"
            onClick={() => {
              actions.change({ kind: "update-camera", cameraId: camera.id, patch: { lens } });
              actions.choosePick(null);
              onKept();
            }}
          >
            Keep it with {camera.name || "the camera"}
          </button>
        </p>
      )}
    </>
  );
}
