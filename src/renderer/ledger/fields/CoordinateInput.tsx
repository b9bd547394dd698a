import { useId, useRef, useState } from "react";
import { numberOf } from "./entry.ts";

export interface CoordinateInputProps {
  readonly label: string;
  readonly value: number | null;
  readonly onEntry: (value: number) => void;
}

/** One coordinate in metres, in a row of others; taken when it is left or on Enter. */
export function CoordinateInput({ label, value, onEntry }: CoordinateInputProps) {
  const shown = value === null ? "" : String(Number(value.toPrecision(7)));
  const [text, setText] = useState(shown);
  const seen = useRef(value);
  if (seen.current !== value) {
    seen.current = value;
    if (numberOf(text) !== value) setText(shown);
  }
  const id = useId();
  const number = numberOf(text);
  const wrong = text.trim() !== "" && number === null;
  function take(): void {
    if (number !== null && number !== value) onEntry(number);
  }
  return (
    <>
      <input
        type="text"
        inputMode="decimal"
        autoComplete="off"
        spellCheck={false}
        aria-label={label}
        aria-invalid={wrong}
        aria-describedby={wrong ? id : undefined}
        title={label}
        value={text}
        onChange={(event) => setText(event.target.value)}
        onBlur={take}
        onKeyDown={(event) => event.key === "Enter" && take()}
      />
      {wrong ? (
        <span className="field-problem" id={id} role="alert">
          “{text.trim()}” is not a number of metres, such as 1.25.
        </span>
      ) : null}
    </>
  );
}
