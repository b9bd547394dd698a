import { useRef } from "react";
import { CLIP_ENDINGS } from "../../shared/api/clip-names.ts";
import { useActions, useAppState } from "../actions/app-context.ts";

/** The way by keyboard to what dropping clips does: they are chosen in the system's own dialog. */
export function ChooseClips() {
  const actions = useActions();
  const readOnly = useAppState((s) => s.access === "read-only");
  const input = useRef<HTMLInputElement>(null);
  if (readOnly) return null; // the head of the ledger says so
  return (
    <>
      <button
        type="button"
        className="quiet"
        title="Copies clips from elsewhere into the folder; they can be dropped on the window too"
        onClick={() => input.current?.click()}
      >
        Copy clips here
      </button>
      <input
        ref={input}
        type="file"
        multiple
        hidden
        aria-label="Clips to copy into the folder"
        accept={CLIP_ENDINGS.join(",")}
        onChange={({ currentTarget }) => {
          void actions.bringClips([...(currentTarget.files ?? [])]);
          currentTarget.value = ""; // so that the same clips can be chosen again
        }}
      />
    </>
  );
}
