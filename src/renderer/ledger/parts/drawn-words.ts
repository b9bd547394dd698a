import { QUANTITIES } from "../../../shared/results/quantity-table.ts";
import { type DrawnResults, HEADLINES } from "../../../shared/results/shot-result.ts";

/**
 * "All inputs were drawn together 1000 times. All four results agree with ...": whether the
 * two ways agree.
 */
export function drawnSays({ draws, headlines }: DrawnResults): string {
  const there = HEADLINES.filter((name) => headlines[name] !== undefined);
  const apart = there.filter((name) => headlines[name]?.agree === false);
  const drawn = `All inputs were drawn together, ${draws} times.`;
  if (apart.length === 0)
    return `${drawn} Every result agrees with moving one input at a time: the ± stands.`;
  const names = apart.map((name) => QUANTITIES[name].words.toLowerCase());
  const which =
    names.length === 1 ? names[0] : `${names.slice(0, -1).join(", ")} and ${names.at(-1) as string}`;
  return `${drawn} For ${which} that differs from moving one input at a time: the ± above is the drawn one, and where the values differ, rely on the draws.`;
}
