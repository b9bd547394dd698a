import { useEffect, useId, useRef } from "react";
import { useActions } from "../../actions/app-context.ts";
import { WITHIN } from "./measured-entry.ts";
import { OddNote } from "./OddNote.tsx";
import type { TypedField } from "./use-typed.ts";

/**
 * A label, the text inputs of one number with or without its ±, the unit, and below them
 * what is to be said of it.
 */
export function NumberInputs(props: {
  readonly label: string;
  readonly unit: string;
  readonly hint: string | undefined;
  readonly hasUncertainty: boolean;
  /** What was picked on the picture waits for it: it takes the focus, and gives it back on Enter. */
  readonly asked?: boolean;
  /** What stands in it is a guess of the program, until something is typed. */
  readonly guess?: boolean;
  /** Of the table of inputs, of what it asks for. */
  readonly path: string | undefined;
  readonly of: TypedField;
}) {
  const { label, unit, hint, hasUncertainty, of, asked = false, guess = false, path } = props;
  const { typed, problem, odd, assumed } = of;
  const id = useId();
  const uInput = useRef<HTMLInputElement>(null);
  const value = useRef<HTMLInputElement>(null);
  const { enter, gaveBack } = useAsked(asked, value);
  const described = problem
    ? [`${id}-problem`]
    : [
        ...(odd ? [`${id}-odd`] : []),
        ...(assumed ? [`${id}-assumed`] : []),
        ...(hint ? [`${id}-hint`] : []),
        ...(guess ? [`${id}-guess`] : []),
      ];
  const shared = {
    type: "text",
    inputMode: "decimal",
    autoComplete: "off",
    spellCheck: false,
    "aria-invalid": problem !== null,
    "aria-describedby": described.length === 0 ? undefined : described.join(" "),
    onKeyDown: (event: React.KeyboardEvent) => {
      if (event.key !== "Enter") return;
      of.take();
      if (problem === null && typed.value.trim() !== "") gaveBack();
    },
  } as const;
  const frame = {
    className: "field",
    "data-input": path,
    onFocus(event: React.FocusEvent) {
      if (!event.currentTarget.contains(event.relatedTarget)) of.enter();
    },
    onBlur(event: React.FocusEvent) {
      if (!event.currentTarget.contains(event.relatedTarget)) {
        enter.current = false;
        of.leave();
      }
    },
  };
  const inside = (
    <>
      <label className="field-label" id={`${id}-label`} htmlFor={`${id}-value`}>
        {label}
      </label>
      <span className="field-entry">
        <input
          {...shared}
          id={`${id}-value`}
          ref={value}
          className={hasUncertainty ? "field-value" : "field-value alone"}
          value={typed.value}
          onChange={(event) => of.type({ value: event.target.value })}
        />
        {hasUncertainty ? (
          <>
            <button
              type="button"
              className="field-pm"
              tabIndex={-1}
              title={`Only know what it is good to within? Press here, or type ${WITHIN} before that number; it is divided by √3.`}
              aria-label={`${label}: type what it is good to within`}
              onClick={() => {
                of.type({ u: WITHIN });
                uInput.current?.focus();
              }}
            >
              ±
            </button>
            <input
              {...shared}
              ref={uInput}
              aria-label={`${label}: standard uncertainty`}
              className="field-u"
              value={typed.u}
              onChange={(event) => of.type({ u: event.target.value })}
            />
          </>
        ) : null}
        <span className="field-unit">
          {unit}
          {guess && problem === null ? (
            <span
              className="field-guess"
              id={`${id}-guess`}
              title="A guess to begin with: type what you measured, with its ±."
            >
              guess
            </span>
          ) : null}
        </span>
      </span>
      {problem !== null ? (
        <p className="field-problem" id={`${id}-problem`} role="alert">
          {problem}
        </p>
      ) : (
        <>
          <OddNote id={`${id}-odd`} text={odd} />
          {assumed === null ? null : (
            <p className="field-hint" id={`${id}-assumed`} role="status">
              {assumedText(assumed, unit)}
            </p>
          )}
          {hint ? (
            <p className="field-hint" id={`${id}-hint`}>
              {hint}
            </p>
          ) : null}
        </>
      )}
    </>
  );
  if (!hasUncertainty) return <div {...frame}>{inside}</div>;
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset would need a legend of its own for every number
    <div {...frame} role="group" aria-labelledby={`${id}-label`}>
      {inside}
    </div>
  );
}

function assumedText({ u, taken }: NonNullable<TypedField["assumed"]>, unit: string): string {
  const text = `± ${u}${unit === "" ? "" : ` ${unit}`}`;
  return taken
    ? `${text} is assumed, until you type yours.`
    : `Enter takes it with ${text}, unless you type yours.`;
}

/**
 * Takes the focus when it is asked for; from then until the field is left, Enter goes on to what a new shot
 * lacks next, and gives the focus back to the frame.
 */
function useAsked(asked: boolean, input: React.RefObject<HTMLInputElement | null>) {
  const actions = useActions();
  const enter = useRef(false);
  useEffect(() => {
    if (!asked) return;
    input.current?.focus();
    input.current?.select();
    enter.current = true;
    actions.answered();
  }, [asked, input, actions]);
  function gaveBack(): void {
    if (!enter.current) return;
    actions.goOn();
    document.querySelector<HTMLElement>(".frame")?.focus();
  }
  return { enter, gaveBack };
}
