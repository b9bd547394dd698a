import { useId } from "react";

export interface ChoiceProps<T extends string> {
  readonly label: string;
  readonly options: readonly (readonly [T, string])[];
  readonly value: T | null;
  readonly onChoose: (value: T) => void;
  readonly hideLabel?: boolean;
  /** Place in the document of what is chosen, where something else on the page speaks of it. */
  readonly part?: string;
}

/** A few alternatives, all in sight. */
export function Choice<T extends string>({
  label,
  options,
  value,
  onChoose,
  hideLabel,
  part,
}: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset className="choice" data-input={part}>
      <legend className={hideLabel ? "for-reader" : "field-label"}>{label}</legend>
      <span className="choice-row">
        {options.map(([option, words]) => (
          <label key={option}>
            <input type="radio" name={name} checked={value === option} onChange={() => onChoose(option)} />
            <span>{words}</span>
          </label>
        ))}
      </span>
    </fieldset>
  );
}
