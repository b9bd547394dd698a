import { useId, useRef, useState } from "react";
import { type EntryKind, entryUnit } from "../../shared/inputs/entry-unit.ts";
import { useDeskState } from "../state/desk-context.ts";
import { numberOf } from "./measured-entry.ts";

export interface NumberFieldProps {
  readonly label: string;
  readonly kind: EntryKind;
  readonly value: number | null;
  readonly optional?: boolean;
  /** Zero may stand too. */
  readonly zero?: boolean;
  /** Any number may stand, below zero too. */
  readonly any?: boolean;
  /** significant digits shown of a value from the document */
  readonly digits?: number;
  readonly hint?: string | undefined;
  readonly onEntry: (value: number | null) => void;
}

/** One plain number, above zero unless said otherwise, that has no uncertainty of its own: one itself, a rating, a place. */
export function NumberField(props: NumberFieldProps) {
  const {
    label,
    kind,
    value,
    optional = false,
    zero = false,
    any = false,
    digits = 3,
    hint,
    onEntry,
  } = props;
  const units = useDeskState((s) => s.history.present.units);
  const unit = entryUnit(kind, units);
  const id = useId();
  const textOf = (si: number | null) =>
    si === null ? "" : String(Number((si * unit.factor).toPrecision(digits)));
  const [text, setText] = useState(textOf(value));
  const seen = useRef({ value, unit });
  if (seen.current.value !== value || seen.current.unit !== unit) {
    seen.current = { value, unit };
    const typed = numberOf(text);
    if (typed === null || value === null || textOf(typed / unit.factor) !== textOf(value)) {
      setText(textOf(value));
    }
  }
  const number = numberOf(text);
  const stands = number !== null && (any || number > 0 || (zero && number === 0));
  const kept = value === null ? "" : " Until then the value before it stands.";
  const wrong =
    stands || (optional && text.trim() === "")
      ? null
      : any
        ? "Type a number, such as 1.25."
        : `Type a number ${zero ? "of zero or more" : "above zero"}, such as ${kind === "pixels" ? "0.5" : "1"}.`;
  const problem = wrong && wrong + kept;

  function take(): void {
    if (stands && text !== textOf(value)) onEntry(number / unit.factor);
    if (optional && text.trim() === "" && value !== null) onEntry(null);
  }
  return (
    <div className="field">
      <label className="field-label" htmlFor={id}>
        {label}
      </label>
      <span className="field-entry">
        <input
          id={id}
          className="field-value alone"
          type="text"
          inputMode="decimal"
          autoComplete="off"
          value={text}
          aria-invalid={problem !== null}
          aria-describedby={`${id}-says`}
          onChange={(event) => setText(event.target.value)}
          onBlur={take}
          onKeyDown={(event) => event.key === "Enter" && take()}
        />
        <span className="field-unit">{unit.symbol}</span>
      </span>
      <p className={problem ? "field-problem" : "field-hint"} id={`${id}-says`} hidden={!problem && !hint}>
        {problem ?? hint}
      </p>
    </div>
  );
}
