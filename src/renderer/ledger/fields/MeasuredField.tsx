import { withAssumedU } from "../../../shared/inputs/assumed-u.ts";
import { entryUnit } from "../../../shared/inputs/entry-unit.ts";
import { isGuess } from "../../../shared/launchers/guesses.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import { useAppState } from "../../actions/app-context.ts";
import { launcherInView, ownerOf } from "../../app-state/things-in-view.ts";
import { type Asked, askedInput } from "./asked-input.ts";
import { withinRanges } from "./input-says.ts";
import { readEntry, typedOf } from "./measured-entry.ts";
import { NumberInputs } from "./NumberInputs.tsx";
import { useTyped } from "./use-typed.ts";

export type MeasuredFieldProps = Asked & {
  /** unique in the window, with the shot's id where it belongs to one: drafts are kept by it */
  readonly field: string;
  readonly measured: Measured | null;
  /** An empty field means "not known"; else emptying it is an unfinished entry. */
  readonly optional?: boolean;
  /** The uncertainty must be above zero too. */
  readonly uPositive?: boolean;
  /** It waits for the rest of what it belongs to before the document can hold it. */
  readonly waits?: boolean;
  readonly hint?: string | undefined;
  readonly onEntry: (measured: Measured | null) => void;
};

/** One quantity: value ± standard uncertainty in its unit. */
export function MeasuredField(props: MeasuredFieldProps) {
  const owner = useAppState((s) => ownerOf(props.path, s));
  return <OwnField key={owner} {...props} field={owner === "" ? props.field : `${owner} ${props.field}`} />;
}

function OwnField(props: MeasuredFieldProps) {
  const { field, measured, optional = false, uPositive = false, waits, hint, onEntry } = props;
  const units = useAppState((s) => s.history.present.units);
  const launcher = useAppState((s) => launcherInView(s)?.kind ?? null);
  const { label, kind, rule, input } = askedInput(props, launcher);
  const unit = entryUnit(kind, units);
  const usual = (si: number) => withAssumedU(si, kind, input?.path ?? null);
  const of = useTyped<Measured>({
    field,
    waits,
    optional,
    onEntry,
    unit: unit.symbol,
    shown: typedOf(measured, unit),
    show: (stands) => typedOf(stands, unit),
    read: (typed) =>
      withinRanges(readEntry(typed, unit, rule, { uPositive, usual }), input, units, ({ value, u }) => [
        value,
        u,
      ]),
  });
  const asked = useAppState((s) => s.askedField === field);
  const guess = isGuess(launcher, input?.path ?? null, measured);
  return (
    <NumberInputs
      label={label}
      unit={unit.symbol}
      hint={hint}
      hasUncertainty
      of={of}
      asked={asked}
      guess={guess}
      path={props.path}
    />
  );
}
