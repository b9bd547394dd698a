import { type ReactNode, useId } from "react";

export interface WhichOneProps {
  readonly label: string;
  readonly list: readonly { readonly id: string; readonly name: string }[];
  readonly value: string | null;
  /** What stands in the list for none; left out where a shot cannot be without. */
  readonly none?: string;
  readonly onChoose: (id: string | null) => void;
  /** Buttons below. */
  readonly children?: ReactNode;
}

/** Which of several airframes, launchers or cameras a shot has. */
export function WhichOne({ label, list, value, none, onChoose, children }: WhichOneProps) {
  const id = useId();
  return (
    <>
      <div className="field">
        <label className="field-label" htmlFor={id}>
          {label}
        </label>
        <select id={id} value={value ?? ""} onChange={(event) => onChoose(event.target.value || null)}>
          {none === undefined ? null : <option value="">{none}</option>}
          {list.map((one, at) => (
            <option key={one.id} value={one.id}>
              {one.name || `not named, number ${at + 1}`}
            </option>
          ))}
        </select>
      </div>
      {children}
    </>
  );
}

/** "Shot 2 and 3 others name it." @param names of the shots that name it */
export function namedBy(names: readonly string[]): string {
  const [first, ...others] = names;
  if (first === undefined) return "";
  if (others.length === 0) return `${first} names it.`;
  return `${first} and ${others.length === 1 ? others[0] : `${others.length} others`} name it.`;
}
