import type { LauncherRows } from "../../../shared/inputs/launcher-rows.ts";
import type { Measured } from "../../../shared/quantity/measured.ts";
import { MeasuredField } from "./MeasuredField.tsx";

/** The keys of a thing under which a measured value stands. */
export type MeasuredKey<T> = { [K in keyof T]-?: T[K] extends Measured | undefined ? K : never }[keyof T] &
  string;

/** How one measured value of a thing is asked for. */
export interface MeasuredLine<T> {
  readonly key: MeasuredKey<T>;
  readonly hint?: string | undefined;
  /** Whether it may be left out of the thing: then an emptied field takes it out. */
  readonly optional?: boolean;
}

/** The rows of a launcher's inputs as lines of its form: those without a guess may be left out. */
export function linesOf<R extends LauncherRows>(
  rows: R,
): readonly {
  readonly key: keyof R & string;
  readonly hint: string | undefined;
  readonly optional: boolean;
}[] {
  return Object.entries(rows).map(([key, { hint, guess }]) => ({ key, hint, optional: guess === undefined }));
}

/**
 * Fields for measured values of a launcher; an emptied field that is not optional leaves the value as it was.
 */
export function MeasuredLines<T>(props: {
  readonly lines: readonly MeasuredLine<T>[];
  readonly of: T;
  /** Path of the thing in the document, with what stands before its keys. */
  readonly at?: string;
  readonly onEntry: (part: Partial<T>) => void;
}) {
  return props.lines.map(({ key, hint, optional = false }) => (
    <MeasuredField
      key={key}
      field={`launcher ${key}`}
      path={`${props.at ?? "launcher."}${key}`}
      hint={hint}
      optional={optional}
      measured={(props.of[key] as Measured | undefined) ?? null}
      onEntry={(measured) => {
        if (measured === null && !optional) return;
        props.onEntry({ [key]: measured ?? undefined } as unknown as Partial<T>);
      }}
    />
  ));
}
