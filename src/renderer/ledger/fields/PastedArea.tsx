import { useId } from "react";
import { keepDraft } from "./drafts.ts";

export interface PastedAreaProps {
  /** unique in the window: what was typed and cannot stand yet is kept by it */
  readonly field: string;
  readonly label: string;
  readonly rows: number;
  readonly text: string;
  /** What keeps the text from standing; null while it is being typed, and when nothing does. */
  readonly problem: string | null;
  /** What a problem leaves in force: "the table before it". */
  readonly kept: string;
  readonly hint: string;
  readonly onText: (text: string) => void;
  readonly onEnter: () => void;
  readonly onLeave: () => void;
}

/** Several lines of numbers, typed or pasted, with what is wrong with them below. */
export function PastedArea(props: PastedAreaProps) {
  const { field, label, rows, text, problem, kept, hint, onText, onEnter, onLeave } = props;
  const id = useId();
  return (
    <>
      <label className="field-label" htmlFor={id}>
        {label}
      </label>
      <textarea
        id={id}
        rows={rows}
        spellCheck={false}
        value={text}
        aria-invalid={problem !== null}
        aria-describedby={`${id}-says`}
        onFocus={onEnter}
        onChange={(event) => {
          onText(event.target.value);
          keepDraft(field, { value: event.target.value, u: "" });
        }}
        onBlur={onLeave}
      />
      <p className={problem ? "field-problem" : "field-hint"} id={`${id}-says`}>
        {problem === null ? hint : `${problem} Until then ${kept} stands.`}
      </p>
    </>
  );
}
