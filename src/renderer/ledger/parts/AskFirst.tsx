import { type ReactNode, useEffect, useRef, useState } from "react";

export interface AskFirstProps {
  /** Of the button that asks. */
  readonly words: string;
  /** What will happen; null where there is nothing to ask, and it happens at once. */
  readonly question: ReactNode | null;
  readonly yes: string;
  readonly no: string;
  readonly onYes: () => void;
}

/** A button that asks before it does something that other shots feel; Undo takes it back all the same. */
export function AskFirst({ words, question, yes, no, onYes }: AskFirstProps) {
  const [asking, setAsking] = useState(false);
  const keep = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (asking) keep.current?.focus();
  }, [asking]);
  if (!asking || question === null) {
    return (
      <button type="button" className="quiet" onClick={() => (question === null ? onYes() : setAsking(true))}>
        {words}
      </button>
    );
  }
  const done = (then: () => void) => {
    setAsking(false);
    then();
  };
  return (
    <div
      className="notice warning ask-first"
      role="alertdialog"
      aria-label={words}
      onKeyDown={(event) => {
        if (event.key !== "Escape") return;
        event.stopPropagation();
        setAsking(false);
      }}
    >
      <div>{question}</div>
      <div className="buttons">
        <button type="button" onClick={() => done(onYes)}>
          {yes}
        </button>
        <button type="button" ref={keep} onClick={() => done(() => {})}>
          {no}
        </button>
      </div>
    </div>
  );
}
