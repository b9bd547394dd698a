import { useId, useRef, useState } from "react";
import { flushSync } from "react-dom";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { OpenedBefore } from "./OpenedBefore.tsx";
import { useOpening } from "./use-opening.ts";

/**
 * Opens another field folder: by the desktop's picker where there is one, else by its path; or one that was
 * opened before.
 * @param props.bare without the folders opened before, where they stand on the page already
 */
export function OpenFolder({ bare = false }: { readonly bare?: boolean }) {
  const picks = useAppState((s) => s.host?.canPickFolder === true);
  if (!picks) return <FolderDialog words="Open a folder" byPath before={!bare} />;
  return (
    <>
      <PickFolder />
      {bare ? null : <FolderDialog words="Opened before" byPath={false} before />}
    </>
  );
}

/** One press leads to the desktop's own picker. */
function PickFolder() {
  const actions = useActions();
  const { openPath } = useOpening();

  async function pick(): Promise<void> {
    const picked = await actions.service.pickFolder();
    if (picked !== null) await openPath(picked, (fault) => actions.tell("warning", fault));
  }

  return (
    <button type="button" className="quiet open-folder" onClick={() => void pick()}>
      Open a folder
    </button>
  );
}

/**
 * A button and the dialog it opens.
 * @param props.words on the button  @param props.byPath with a field for a path
 * @param props.before with the folders opened before
 */
function FolderDialog(props: { readonly words: string; readonly byPath: boolean; readonly before: boolean }) {
  const { words, byPath, before } = props;
  const host = useAppState((s) => s.host);
  const dialog = useRef<HTMLDialogElement>(null);
  const [shown, setShown] = useState(false);
  const id = useId();
  const stay = (
    <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
      Stay here
    </button>
  );
  return (
    <>
      <button
        type="button"
        className="quiet open-folder"
        onClick={() => {
          flushSync(() => setShown(true)); // so that the dialog finds its first field to give the focus to
          dialog.current?.showModal();
        }}
      >
        {words}
      </button>
      <dialog ref={dialog} aria-labelledby={`${id}-title`} onClose={() => setShown(false)}>
        <h2 id={`${id}-title`}>Open a field folder</h2>
        {shown && byPath ? <PathForm start={host?.folder ?? ""}>{stay}</PathForm> : null}
        {shown && before ? (
          <OpenedBefore except={host === null ? [] : [host.folder]} alone={!byPath} />
        ) : null}
        {byPath ? null : <p className="dialog-buttons">{stay}</p>}
      </dialog>
    </>
  );
}

/** @param props.start the path that stands there first  @param props.children stands beside "Open" */
function PathForm({ start, children }: { readonly start: string; readonly children: React.ReactNode }) {
  const [path, setPath] = useState(start);
  const [fault, setFault] = useState<Fault | null>(null);
  const { busy, openPath } = useOpening();
  const id = useId();
  return (
    <form
      method="dialog"
      onSubmit={(event) => {
        event.preventDefault();
        void openPath(path, setFault);
      }}
    >
      <label htmlFor={id}>Path of the folder that holds the clips</label>
      <input
        id={id}
        className="dialog-path"
        type="text"
        value={path}
        autoComplete="off"
        spellCheck={false}
        onChange={(event) => setPath(event.target.value)}
      />
      {fault === null ? null : (
        <p className="field-problem" role="alert">
          {fault.cause} {fault.remedy}
        </p>
      )}
      <p className="dialog-buttons">
        {children}
        <button type="submit" disabled={busy || path.trim() === ""}>
          Open
        </button>
      </p>
    </form>
  );
}
