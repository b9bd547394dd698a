import { HEADLINES, type Headline } from "../results/shot-result.ts";

/** The same made for each of the four headline results. */
export function byHeadline<T>(make: (name: Headline, index: number) => T): Record<Headline, T> {
  return Object.fromEntries(HEADLINES.map((name, index) => [name, make(name, index)])) as Record<Headline, T>;
}
