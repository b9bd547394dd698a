import type { z } from "zod";
import type { GuessedKey, LauncherRows } from "../inputs/launcher-rows.ts";
import { measured, measuredNonnegative, measuredPositive } from "./schema-values.ts";

type MeasuredSchema = ReturnType<typeof measured>;

const SCHEMAS = {
  "above-zero": measuredPositive,
  "zero-or-more": measuredNonnegative,
  any: measured,
} as const;

/**
 * The fields of a launcher's schema that the rows of its inputs describe; those without
 * a guess may be left out.
 */
export function measuredFields<R extends LauncherRows>(
  rows: R,
): { [K in keyof R]: K extends GuessedKey<R> ? MeasuredSchema : z.ZodOptional<MeasuredSchema> } {
  const fields = Object.entries(rows).map(([key, { value, about, guess }]) => {
    const schema = SCHEMAS[value](about);
    return [key, guess === undefined ? schema.optional() : schema];
  });
  return Object.fromEntries(fields);
}
