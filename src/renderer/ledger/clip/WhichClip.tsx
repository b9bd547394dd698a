import { useActions, useAppState } from "../../actions/app-context.ts";
import { standingOf } from "../../app-state/clip-standing.ts";

/**
 * What to do about a clip that is not the one the marks were placed in, or is gone: take the file that holds
 * what was marked, where it was found, or say that this file holds the same shot.
 */
export function WhichClip({ clip }: { readonly clip: string }) {
  const actions = useActions();
  const isOther = useAppState((s) => standingOf(s, clip) === "other");
  const isGone = useAppState((s) => s.known[clip]?.status === "failed");
  const isRead = useAppState((s) => {
    const knowledge = s.known[clip];
    return knowledge?.status === "known" && knowledge.fingerprint !== null;
  });
  const found = useAppState((s) => s.found[clip]);
  if (!isOther && !isGone) return null;
  return (
    <div className="which-clip">
      {found === undefined ? null : (
        <div className="field">
          <p className="plain">
            {found} holds the clip that was marked, byte for byte: it was renamed or moved. Taking it keeps
            every mark.
          </p>
          <button type="button" onClick={() => actions.takeFound(clip)}>
            Use {found}
          </button>
        </div>
      )}
      {isOther ? (
        <div className="field">
          <p className="plain">
            {found === undefined ? "The folder has no other file with the content that was marked. " : ""}
            If {clip} is the same shot, re-encoded or trimmed, it can stand in. Look at a few marks
            afterwards: they keep their frame numbers, and a clip trimmed at its start counts from another
            frame.
          </p>
          <button
            type="button"
            className={found === undefined ? undefined : "quiet"}
            disabled={!isRead}
            onClick={() => actions.acceptContent(clip)}
          >
            It is the same shot: use it
          </button>
        </div>
      ) : null}
    </div>
  );
}
