import { useId, useRef, useState } from "react";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useActions, useAppState } from "../actions/app-context.ts";
import { faultOf } from "../saving/autosave.ts";

/** Opens another field folder: by the desktop's picker where there is one, else by its path. */
export function OpenFolder() {
  const actions = useActions();
  const host = useAppState((s) => s.host);
  const dialog = useRef<HTMLDialogElement>(null);
  const [path, setPath] = useState("");
  const [fault, setFault] = useState<Fault | null>(null);
  const [busy, setBusy] = useState(false);
  const id = useId();

  async function openPath(wanted: string, onFault: (fault: Fault) => void): Promise<void> {
    setBusy(true);
    try {
      await actions.saveNow();
      actions.service.show(await actions.service.openFolder(wanted));
    } catch (error) {
      onFault(faultOf(error));
    } finally {
      setBusy(false);
    }
  }

  async function pick(): Promise<void> {
    if (host?.canPickFolder !== true) {
      setPath(host?.folder ?? "");
      setFault(null);
      return dialog.current?.showModal();
    }
    const picked = await actions.service.pickFolder();
    if (picked !== null) await openPath(picked, (fault) => actions.tell("warning", fault));
  }

  return (
    <>
      <button type="button" className="quiet open-folder" onClick={() => void pick()}>
        Open a folder
      </button>
      <dialog ref={dialog} aria-labelledby={`${id}-title`}>
        <form
          method="dialog"
          onSubmit={(event) => {
            event.preventDefault();
            void openPath(path, setFault);
          }}
        >
          <h2 id={`${id}-title`}>Open a field folder</h2>
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
            <button type="button" className="quiet" onClick={() => dialog.current?.close()}>
              Stay here
            </button>
            <button type="submit" disabled={busy || path.trim() === ""}>
              Open
            </button>
          </p>
        </form>
      </dialog>
    </>
  );
}
