import { useEffect, useId, useRef, useState } from "react";
import { isClipName } from "../../shared/api/clip-names.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import type { Dropped } from "./dropped.ts";

/**
 * What a browser can do with dropped folders: it does not say where they lie, so their clips are offered to
 * be copied, and opening is done by the path.
 */
export function DroppedFolders(props: { readonly dropped: Dropped; readonly onClose: () => void }) {
  const { dropped, onClose } = props;
  const actions = useActions();
  const open = useAppState((s) => s.phase === "ready");
  const folder = useAppState((s) => s.folderName);
  const dialog = useRef<HTMLDialogElement>(null);
  const [clips, setClips] = useState<readonly File[] | null>(null);
  const [unread, setUnread] = useState(false);
  const id = useId();
  useEffect(() => dialog.current?.showModal(), []);
  useEffect(() => {
    const besides = dropped.files.filter(({ name }) => isClipName(name));
    Promise.all(dropped.folders.map((one) => one.clips())).then(
      (found) => setClips([...besides, ...found.flat()]),
      () => setUnread(true),
    );
  }, [dropped]);

  const names = dropped.folders.map(({ name }) => name).join(", ");
  const many = dropped.folders.length > 1;
  return (
    <dialog ref={dialog} aria-labelledby={`${id}-title`} onClose={onClose}>
      <h2 id={`${id}-title`}>{many ? `Folders ${names}` : `Folder ${names}`}</h2>
      <p role="status">{unread ? "It cannot be read." : saysClips(clips)}</p>
      <p>
        A browser does not say where a folder lies. To open it as a field folder of its own, use{" "}
        <strong>Open a folder</strong> and its path.
      </p>
      <p className="dialog-buttons">
        <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
          Stay here
        </button>
        {open && clips !== null && clips.length > 0 ? (
          <button
            type="button"
            onClick={() => {
              void actions.bringClips(clips);
              dialog.current?.close();
            }}
          >
            Copy {clips.length === 1 ? "the clip" : `the ${clips.length} clips`} into {folder}
          </button>
        ) : null}
      </p>
    </dialog>
  );
}

function saysClips(clips: readonly File[] | null): string {
  if (clips === null) return "Looking for clips.";
  if (clips.length === 0) return "No clip lies directly in it.";
  const mb = clips.reduce((sum, { size }) => sum + size, 0) / 1e6;
  const size = mb < 1000 ? `${mb < 10 ? mb.toFixed(1) : mb.toFixed(0)} MB` : `${(mb / 1000).toFixed(1)} GB`;
  return `${clips.length === 1 ? "1 clip" : `${clips.length} clips`} with ${size}.`;
}
