import { useState } from "react";
import type { Fault } from "../../shared/quantity/notice.ts";
import { useActions } from "../actions/app-context.ts";
import { faultOf } from "../saving/autosave.ts";

/**
 * The one way in which this window leaves for another folder: what is typed is saved first, then the folder
 * is opened and shown.
 */
export function useOpening() {
  const actions = useActions();
  const [busy, setBusy] = useState(false);

  async function openPath(path: string, onFault: (fault: Fault) => void): Promise<void> {
    setBusy(true);
    try {
      await actions.saveNow();
      actions.service.show(await actions.service.openFolder(path));
    } catch (error) {
      onFault(faultOf(error));
    } finally {
      setBusy(false);
    }
  }

  return { busy, openPath };
}
