import type { Notice, Place } from "./notice.ts";

/** The texts of one notice; a place only where it is not that of its catalogue. */
export type Told = Pick<Notice<string>, "level" | "cause" | "remedy" | "path"> & Partial<Place>;

/** A function for each code, from the plain values its texts hold. */
type Texts = Readonly<Record<string, (...values: never[]) => Told>>;

/** A function for each code that makes the notice. */
export type Catalogue<T extends Texts> = {
  readonly [Code in keyof T & string]: (...values: Parameters<T[Code]>) => Notice<Code>;
};

/** The codes of a catalogue. */
export type CodeOf<C> = keyof C & string;

/**
 * The notices of one place: the code is the entry's name, the place is the same for all but those that say
 * another.
 */
export function noticeCatalogue<T extends Texts>(place: Place, texts: T): Catalogue<T> {
  const entries = Object.entries(texts).map(([code, tell]) => [
    code,
    (...values: never[]): Notice<string> => {
      const { level, cause, remedy, ...own } = tell(...values);
      return { level, code, cause, remedy, ...place, ...own };
    },
  ]);
  return Object.fromEntries(entries) as Catalogue<T>;
}

/** Whether a notice is one of a catalogue's. */
export function isOf<Code extends string>(
  catalogue: Readonly<Record<Code, unknown>>,
  notice: Notice<string>,
): notice is Notice<Code> {
  return Object.hasOwn(catalogue, notice.code);
}

export function note(cause: string, remedy: string): Told {
  return { level: "note", cause, remedy };
}

export function warning(cause: string, remedy: string): Told {
  return { level: "warning", cause, remedy };
}

export function refusal(cause: string, remedy: string): Told {
  return { level: "refusal", cause, remedy };
}

export function danger(cause: string, remedy: string): Told {
  return { level: "danger", cause, remedy };
}
