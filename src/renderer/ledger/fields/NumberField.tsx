import { type EntryKind, entryUnit } from "../../../shared/inputs/entry-unit.ts";
import { useAppState } from "../../actions/app-context.ts";
import { launcherInView, ownerOf } from "../../app-state/things-in-view.ts";
import { type Asked, askedInput } from "./asked-input.ts";
import { withinRanges } from "./input-says.ts";
import { NumberInputs } from "./NumberInputs.tsx";
import { numberText, readNumber } from "./number-entry.ts";
import { useTyped } from "./use-typed.ts";

export type NumberFieldProps = Asked & {
  readonly value: number | null;
  /** An empty field means "not known"; else emptying it is an unfinished entry. */
  readonly optional?: boolean;
  /** significant digits shown of a value from the document */
  readonly digits?: number;
  readonly hint?: string | undefined;
  readonly onEntry: (value: number | null) => void;
};

/** One plain number that has no uncertainty of its own: one itself, a rating, a place. */
export function NumberField(props: NumberFieldProps) {
  const owner = useAppState((s) => ownerOf(props.path, s));
  return <OwnField key={owner} {...props} />;
}

function OwnField(props: NumberFieldProps) {
  const { value, optional = false, digits = 3, hint, onEntry } = props;
  const units = useAppState((s) => s.history.present.units);
  const launcher = useAppState((s) => launcherInView(s)?.kind ?? null);
  const { label, kind, rule, input } = askedInput(props, launcher);
  const shotId = useAppState((s) => s.shotId);
  const unit = entryUnit(kind, units);
  const of = useTyped<number>({
    field: draftKey(props.path, label, shotId),
    optional,
    onEntry,
    unit: unit.symbol,
    shown: numberText(value, unit, digits),
    show: (stands) => numberText(stands, unit, digits),
    read: (typed) =>
      withinRanges(readNumber(typed, unit, rule), input, units, (stands) => [siOf(stands, kind), null]),
  });
  return (
    <NumberInputs
      label={label}
      unit={unit.symbol}
      hint={hint}
      hasUncertainty={false}
      path={props.path}
      of={of}
    />
  );
}

/** "1/2500 s" is typed as the 2500. */
function siOf(number: number, kind: EntryKind): number {
  return kind === "per-second" ? 1 / number : number;
}

/** Where what cannot stand yet is kept; null for a number of a list, whose places may change. */
function draftKey(path: string | undefined, label: string, shotId: string | null): string | null {
  const inList = path?.replace(/^shots\[\]/, "").includes("[") === true;
  return inList ? null : `number ${shotId} ${path ?? ""} ${label}`;
}
