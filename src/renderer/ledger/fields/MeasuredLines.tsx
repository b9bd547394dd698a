import type { Measured } from "../../../shared/quantity/measured.ts";
import { MeasuredField } from "./MeasuredField.tsx";

/** The keys of a thing under which a measured value stands. */
export type MeasuredKey<T> = { [K in keyof T]-?: T[K] extends Measured ? K : never }[keyof T] & string;

/** How one measured value of a thing is asked for. */
export interface MeasuredLine<T> {
  readonly key: MeasuredKey<T>;
  readonly hint?: string;
}

/** Fields for measured values that a launcher always has; an emptied field leaves the value as it was. */
export function MeasuredLines<T>(props: {
  readonly lines: readonly MeasuredLine<T>[];
  readonly of: T;
  /** Path of the thing in the document, with what stands before its keys. */
  readonly at?: string;
  readonly onEntry: (part: Partial<T>) => void;
}) {
  return props.lines.map(({ key, hint }) => (
    <MeasuredField
      key={key}
      field={`launcher ${key}`}
      path={`${props.at ?? "launcher."}${key}`}
      hint={hint}
      measured={props.of[key] as Measured}
      onEntry={(measured) => measured && props.onEntry({ [key]: measured } as unknown as Partial<T>)}
    />
  ));
}
