import { useEffect, useState } from "react";
import { useActions } from "../actions/app-context.ts";
import type { OpenFolder } from "../host/service.ts";
import { faultOf } from "../saving/autosave.ts";
import { OpenedBefore } from "./OpenedBefore.tsx";
import { OpenFolder as OpenFolderButton } from "./OpenFolder.tsx";

/**
 * What a window offers whose own folder is not open any more: the folders that are, those opened before,
 * and to open one by its path.
 */
export function OtherFolders() {
  const { service } = useActions();
  const [folders, setFolders] = useState<readonly OpenFolder[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    service.openFolders().then(setFolders, (error: unknown) => {
      const { cause, remedy } = faultOf(error);
      setProblem(`${cause} ${remedy}`);
    });
  }, [service]);
  return (
    <>
      <p>
        Choose a folder that is open or was opened before, or open one by its path. What this window could not
        save comes back with its folder.
      </p>
      {folders === null || folders.length === 0 ? null : (
        <ul className="open-folders" aria-label="Open folders">
          {folders.map((folder) => (
            <li key={folder.id}>
              <button type="button" onClick={() => service.show(folder)}>
                {folder.name}
              </button>
              <span className="open-folder-path">{folder.folder}</span>
            </li>
          ))}
        </ul>
      )}
      {problem === null ? null : <p className="field-problem">{problem}</p>}
      {folders === null && problem === null ? null : (
        <OpenedBefore except={(folders ?? []).map(({ folder }) => folder)} />
      )}
      <OpenFolderButton bare />
    </>
  );
}
