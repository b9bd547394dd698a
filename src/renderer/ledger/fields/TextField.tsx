import { useId, useRef, useState } from "react";

export interface TextFieldProps {
  readonly label: string;
  readonly value: string;
  readonly most: number;
  /** An empty text may stand. */
  readonly optional?: boolean;
  readonly hideLabel?: boolean;
  readonly className?: string;
  readonly onEntry: (text: string) => void;
}

/** A name: what is typed goes into the document on Enter or when the field is left. */
export function TextField(props: TextFieldProps) {
  const { label, value, most, optional = false, hideLabel = false, className = "", onEntry } = props;
  const id = useId();
  const [text, setText] = useState(value);
  const seen = useRef(value);
  if (seen.current !== value) {
    seen.current = value;
    if (text !== value) setText(value);
  }
  const stands = optional || text.trim() !== "";
  function take(): void {
    if (stands && text !== value) onEntry(text);
  }
  return (
    <div className={`field text-field ${className}`}>
      <label className={hideLabel ? "for-reader" : "field-label"} htmlFor={id}>
        {label}
      </label>
      <input
        id={id}
        type="text"
        value={text}
        maxLength={most}
        autoComplete="off"
        aria-invalid={!stands}
        onChange={(event) => setText(event.target.value)}
        onBlur={take}
        onKeyDown={(event) => event.key === "Enter" && event.currentTarget.blur()}
      />
      {stands ? null : <p className="field-problem">It needs a name. Until then the previous one is kept.</p>}
    </div>
  );
}
