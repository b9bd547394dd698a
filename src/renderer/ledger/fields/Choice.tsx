import { useId } from "react";

export interface ChoiceProps<T extends string> {
  readonly label: string;
  readonly options: readonly (readonly [T, string])[];
  readonly value: T | null;
  readonly onChoose: (value: T) => void;
  readonly hideLabel?: boolean;
}

/** A few alternatives, all in sight. */
export function Choice<T extends string>({ label, options, value, onChoose, hideLabel }: ChoiceProps<T>) {
  const name = useId();
  return (
    <fieldset className="choice">
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
