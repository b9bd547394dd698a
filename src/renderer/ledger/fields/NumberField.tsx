import { useId, useRef, useState } from "react";
import { type EntryKind, entryUnit } from "../../../shared/inputs/entry-unit.ts";
import { useAppState } from "../../actions/app-context.ts";
import { type Asked, askedInput } from "./asked-input.ts";
import { inputSays } from "./input-says.ts";
import { numberOf } from "./measured-entry.ts";
import { OddNote } from "./OddNote.tsx";

export type NumberFieldProps = Asked & {
  readonly value: number | null;
  readonly optional?: boolean;
  /** significant digits shown of a value from the document */
  readonly digits?: number;
  readonly hint?: string | undefined;
  readonly onEntry: (value: number | null) => void;
};

/** One plain number that has no uncertainty of its own: one itself, a rating, a place. */
export function NumberField(props: NumberFieldProps) {
  const { value, optional = false, digits = 3, hint, onEntry } = props;
  const units = useAppState((s) => s.history.present.units);
  const launcher = useAppState((s) => s.history.present.launcher?.kind ?? null);
  const { label, kind, rule, input } = askedInput(props, launcher);
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
  const allowed =
    number !== null && (rule === "any" || number > 0 || (rule === "not-negative" && number === 0));
  const says =
    !allowed || input === null ? null : inputSays(input, siOf(number / unit.factor, kind), null, units);
  const stands = allowed && says?.state !== "impossible";
  const kept = value === null || text === textOf(value) ? "" : " Until then the value before it stands.";
  const wrong =
    stands || (optional && text.trim() === "")
      ? null
      : says !== null
        ? says.text
        : rule === "any"
          ? "Type a number, such as 1.25."
          : `Type a number ${rule === "not-negative" ? "of zero or more" : "above zero"}, such as ${kind === "pixels" ? "0.5" : "1"}.`;
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
