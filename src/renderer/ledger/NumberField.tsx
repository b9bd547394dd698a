import { useId, useRef, useState } from "react";
import { type EntryKind, entryUnit } from "../../shared/inputs/entry-unit.ts";
import { useDeskState } from "../state/desk-context.ts";
import { inputOf, inputSays } from "./input-says.ts";
import { numberOf } from "./measured-entry.ts";
import { OddNote } from "./OddNote.tsx";

export interface NumberFieldProps {
  readonly label: string;
  /** Place of the number in the table of inputs, whose ranges then hold here. */
  readonly path?: string | undefined;
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
    path,
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
  const launcher = useDeskState((s) => s.history.present.launcher?.kind ?? null);
  const allowed = number !== null && (any || number > 0 || (zero && number === 0));
  const says =
    !allowed || path === undefined
      ? null
      : inputSays(inputOf(path, launcher), siOf(number / unit.factor, kind), null, units);
  const stands = allowed && says?.state !== "impossible";
  const kept = value === null || text === textOf(value) ? "" : " Until then the value before it stands.";
  const wrong =
    stands || (optional && text.trim() === "")
      ? null
      : says !== null
        ? says.text
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
          aria-describedby={says?.state === "odd" ? `${id}-odd ${id}-says` : `${id}-says`}
          onChange={(event) => setText(event.target.value)}
          onBlur={take}
          onKeyDown={(event) => event.key === "Enter" && take()}
        />
        <span className="field-unit">{unit.symbol}</span>
      </span>
      <OddNote id={`${id}-odd`} text={says?.state === "odd" ? says.text : null} />
      <p className={problem ? "field-problem" : "field-hint"} id={`${id}-says`} hidden={!problem && !hint}>
        {problem ?? hint}
      </p>
    </div>
  );
}

/** "1/2500 s" is typed as the 2500. */
function siOf(number: number, kind: EntryKind): number {
  return kind === "per-second" ? 1 / number : number;
}
