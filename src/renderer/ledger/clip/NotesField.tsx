import { useId, useRef, useState } from "react";

/** Free words about the shot; taken into the document when the field is left. */
export function NotesField({
  value,
  onEntry,
}: {
  readonly value: string;
  readonly onEntry: (text: string) => void;
}) {
  const id = useId();
  const [text, setText] = useState(value);
  const seen = useRef(value);
  if (seen.current !== value) {
    seen.current = value;
    if (text !== value) setText(value);
  }
  return (
    <div className="field">
      <label className="field-label" htmlFor={id}>
        Notes
      </label>
      <textarea
        id={id}
        rows={2}
        maxLength={10_000}
        value={text}
        onChange={(event) => setText(event.target.value)}
        onBlur={() => text !== value && onEntry(text)}
      />
    </div>
  );
}
