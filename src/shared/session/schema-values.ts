import { z } from "zod";

/* The kinds of value the session document is made of. */

export const id = z.string().regex(/^[a-z0-9][a-z0-9-]{0,63}$/, "lower-case letters, digits and hyphens");
export const finite = z.number();
export const positive = finite.positive();
export const u = finite.nonnegative();

const assumed = z
  .literal(true)
  .optional()
  .describe("the person stated no u, and a usual one stands in its place; left out where they did");

export function measured(meaning: string) {
  return z
    .strictObject({ value: finite, u: u.describe("standard uncertainty, same unit"), assumed })
    .describe(meaning);
}
export function measuredPositive(meaning: string) {
  return z
    .strictObject({ value: positive, u: u.describe("standard uncertainty, same unit"), assumed })
    .describe(meaning);
}
export function measuredNonnegative(meaning: string) {
  return z
    .strictObject({ value: u, u: u.describe("standard uncertainty, same unit"), assumed })
    .describe(meaning);
}

export const px = z.tuple([finite, finite]).describe("[x, y] in pixels of the upright, square-pixel picture");
