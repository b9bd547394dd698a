import { useState } from "react";
import { copyText } from "../actions/hand-out.ts";

const SAID_MS = 1500;

/** A number that one click copies, with its ± and its unit. */
export function CopyNumber({ text, of }: { readonly text: string; readonly of: string }) {
  const [said, say] = useState("");
  async function copy(): Promise<void> {
    say((await copyText(text.replaceAll("\u00a0", " "))) ? "copied" : "not copied");
    setTimeout(() => say(""), SAID_MS);
  }
  if (text === "") return null;
  return (
    <>
      <button
        type="button"
        className="copy-number"
        title="Copy"
        aria-label={`${of}: copy ${text}`}
        onClick={() => void copy()}
      >
        {text}
      </button>
      <span className="copy-said" role="status">
        {said}
      </span>
    </>
  );
}
