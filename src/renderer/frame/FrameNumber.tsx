import { useState } from "react";
import { useActions } from "../actions/app-context.ts";

/** The frame that is shown; pressed, it takes the number of another. */
export function FrameNumber({ frame, count }: { readonly frame: number; readonly count: number }) {
  const actions = useActions();
  const [typed, setTyped] = useState<string | null>(null);
  const last = Math.max(0, count - 1);
  if (typed === null) {
    return (
      <button
        type="button"
        className="quiet frame-number"
        data-testid="frame-number"
        title="Type a frame's number"
        disabled={count === 0}
        onClick={() => setTyped(String(frame))}
      >
        frame {frame} <span>of {last}</span>
      </button>
    );
  }
  const wanted = /^\s*\d{1,9}\s*$/.test(typed) ? Number(typed) : null;
  return (
    <span className="frame-number">
      frame{" "}
      <input
        type="text"
        inputMode="numeric"
        aria-label={`Frame, 0 to ${last}`}
        aria-invalid={wanted === null || wanted > last}
        value={typed}
        autoComplete="off"
        ref={(entry) => {
          if (entry !== null && document.activeElement !== entry) {
            entry.focus();
            entry.select();
          }
        }}
        onChange={(event) => setTyped(event.target.value)}
        onBlur={() => setTyped(null)}
        onKeyDown={(event) => {
          if (event.key === "Escape") setTyped(null);
          if (event.key !== "Enter" || wanted === null) return;
          actions.goTo(wanted); // held inside the clip
          setTyped(null);
        }}
      />{" "}
      <span>of {last}</span>
    </span>
  );
}
