import { useEffect, useId, useRef, useState } from "react";
import { entryUnit } from "../../../shared/inputs/entry-unit.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import { useActions, useAppState } from "../../actions/app-context.ts";
import { type Asked, askedInput } from "./asked-input.ts";
import { draftOf, keepDraft } from "./drafts.ts";
import { type Entry, readEntry, sameMeasured, type Typed, typedOf, withinRanges } from "./measured-entry.ts";
import { OddNote } from "./OddNote.tsx";

/** Counts visits to fields: value and ± that are typed in one are one step of undo, however long the pause between them. */
let visits = 0;

const IDLE_MS = 500; // typing that rests this long is taken into the document

export type MeasuredFieldProps = Asked & {
  /** unique in the window, with the shot's id where it belongs to one: drafts are kept by it */
  readonly field: string;
  readonly measured: Measured | null;
  /** An empty field means "not known"; else emptying it is an unfinished entry. */
  readonly optional?: boolean;
  /** The uncertainty must be above zero too. */
  readonly uPositive?: boolean;
  readonly hint?: string | undefined;
  readonly onEntry: (measured: Measured | null) => void;
};

/** One quantity: value ± standard uncertainty in its unit. What is typed stays; what can stand goes into the document. */
export function MeasuredField(props: MeasuredFieldProps) {
  const { field, measured, optional = false, uPositive = false, hint, onEntry } = props;
  const actions = useActions();
  const units = useAppState((s) => s.history.present.units);
  const launcher = useAppState((s) => s.history.present.launcher?.kind ?? null);
  const { label, kind, rule, input } = askedInput(props, launcher);
  const unit = entryUnit(kind, units);
  const read = (now: Typed) => withinRanges(readEntry(now, unit, rule, uPositive), input, units);
  const id = useId();
  const [typed, setTyped] = useState<Typed>(() => draftOf(field) ?? typedOf(measured, unit));
  const [inside, setInside] = useState(false);
  const seen = useRef({ measured, unit });
  const visit = useRef(`${id} 0`);
  const timer = useRef<ReturnType<typeof setTimeout>>(undefined);
  const entry = read(typed);

  // The document changed under the field (undo, another unit, a reload): it shows the document again.
  if (seen.current.measured !== measured || seen.current.unit !== unit) {
    const ours = entry.kind === "measured" && sameMeasured(entry.measured, measured, unit);
    const same = seen.current.unit === unit && sameMeasured(seen.current.measured, measured, unit);
    seen.current = { measured, unit };
    if (!ours && !same) {
      keepDraft(field, null);
      setTyped(typedOf(measured, unit));
    }
  }

  function take(now: Typed): void {
    clearTimeout(timer.current);
    const taken = read(now);
    const stands = taken.kind === "measured" || (taken.kind === "empty" && optional);
    keepDraft(field, stands ? null : now);
    actions.duringVisit(visit.current, () => {
      if (taken.kind === "measured" && !sameMeasured(taken.measured, measured, unit)) onEntry(taken.measured);
      if (taken.kind === "empty" && optional && measured !== null) onEntry(null);
    });
  }

  const latest = useRef(() => {});
  latest.current = () => take(typed);
  useEffect(() => {
    const leave = () => latest.current();
    window.addEventListener("pagehide", leave);
    return () => {
      window.removeEventListener("pagehide", leave);
      leave();
    };
  }, []);

  function type(part: Partial<Typed>): void {
    const now = { ...typed, ...part };
    setTyped(now);
    keepDraft(field, now);
    clearTimeout(timer.current);
    timer.current = setTimeout(() => latest.current(), IDLE_MS);
  }

  const { value, u } = typedOf(measured, unit);
  const changed = typed.value !== value || typed.u !== u;
  const problem = problemOf(entry, inside, optional, measured, changed);
  const odd = entry.kind === "measured" ? (entry.odd ?? null) : null;
  const described = problem
    ? [`${id}-problem`]
    : [...(odd ? [`${id}-odd`] : []), ...(hint ? [`${id}-hint`] : [])];
  const describedBy = described.length === 0 ? undefined : described.join(" ");
  const shared = {
    type: "text",
    inputMode: "decimal",
    autoComplete: "off",
    spellCheck: false,
    "aria-invalid": problem !== null,
    "aria-describedby": describedBy,
    onKeyDown: (event: React.KeyboardEvent) => {
      if (event.key === "Enter") take(typed);
    },
  } as const;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset would need a legend of its own for every number
    <div
      className="field"
      role="group"
      aria-labelledby={`${id}-label`}
      onFocus={(event) => {
        if (event.currentTarget.contains(event.relatedTarget)) return;
        visit.current = `${id} ${++visits}`;
        setInside(true);
      }}
      onBlur={(event) => {
        if (event.currentTarget.contains(event.relatedTarget)) return;
        setInside(false);
        take(typed);
      }}
    >
      <label className="field-label" id={`${id}-label`} htmlFor={`${id}-value`}>
        {label}
      </label>
      <span className="field-entry">
        <input
          {...shared}
          id={`${id}-value`}
          className="field-value"
          value={typed.value}
          onChange={(event) => type({ value: event.target.value })}
        />
        <span aria-hidden="true">±</span>
        <input
          {...shared}
          aria-label={`${label}: standard uncertainty`}
          className="field-u"
          value={typed.u}
          onChange={(event) => type({ u: event.target.value })}
        />
        <span className="field-unit">{unit.symbol}</span>
      </span>
      {problem !== null ? (
        <p className="field-problem" id={`${id}-problem`} role="alert">
          {problem}
        </p>
      ) : (
        <>
          <OddNote id={`${id}-odd`} text={odd} />
          {hint ? (
            <p className="field-hint" id={`${id}-hint`}>
              {hint}
            </p>
          ) : null}
        </>
      )}
    </div>
  );
}

function problemOf(
  entry: Entry,
  inside: boolean,
  optional: boolean,
  measured: Measured | null,
  changed: boolean,
): string | null {
  // What stands in the document may itself be what is wrong: then nothing else stands until it is corrected.
  const kept = measured === null || !changed ? "" : " Until then the value before it stands.";
  if (entry.kind === "wrong") return `${entry.cause} ${entry.remedy}${kept}`;
  if (inside) return null;
  if (entry.kind === "unfinished") return `${entry.cause} ${entry.remedy}${kept}`;
  if (entry.kind === "empty" && !optional && measured !== null) return `It cannot be empty.${kept}`;
  return null;
}
