import { displayUnit, type UnitSet } from "../quantity/display.ts";
import { QUANTITIES } from "../results/quantity-table.ts";
import { HEADLINES, type Headline } from "../results/shot-result.ts";
import { byHeadline } from "./by-headline.ts";
import type { CameraPlan, PlannedChange } from "./camera-plan.ts";
import type { HeadlineUs } from "./predicted-u.ts";

const WORTH_SAYING = 0.05; // of u: less is lost among the simulated shots themselves

/**
 * Which change helps most, over all and for each headline result.
 * @param changes most helpful first, worded in the same units
 */
export function adviceOf(
  now: HeadlineUs,
  changes: readonly PlannedChange[],
  units: UnitSet = "SI",
): Pick<CameraPlan, "best" | "advice"> {
  const best = byHeadline((name) => bestFor(name, changes)?.id ?? null);
  const [first] = changes;
  const sentences: string[] = [];
  const helpful = first !== undefined && first.reduction >= WORTH_SAYING ? first : null;
  if (helpful !== null) {
    const gains = HEADLINES.filter((name) => reductionOf(helpful, name) >= WORTH_SAYING);
    sentences.push(
      `Of single changes it helps most to ${helpful.words}: ${joined(gains.map((name) => gain(name, now, helpful, units)))}.`,
    );
  }
  // Results that another change helps more, gathered by the change.
  const others = new Map<PlannedChange, Headline[]>();
  for (const name of HEADLINES) {
    const change = bestFor(name, changes);
    if (change !== null && change !== helpful) others.set(change, [...(others.get(change) ?? []), name]);
  }
  for (const [change, names] of others) {
    const whose = joined(names.map((name) => QUANTITIES[name].words.toLowerCase()));
    const better = helpful === null ? "helps most" : "is better";
    const by = joined(names.map((name) => fromTo(name, now, change, units)));
    sentences.push(`For ${whose} it ${better} to ${change.words}: ${by}.`);
  }
  if (sentences.length === 0) {
    sentences.push(
      "No single change that was tried makes a result surer by a twentieth: the set-up is even.",
    );
  }
  return { best, advice: sentences.join(" ") };
}

function bestFor(name: Headline, changes: readonly PlannedChange[]): PlannedChange | null {
  const helping = changes.filter((change) => reductionOf(change, name) >= WORTH_SAYING);
  return helping.reduce<PlannedChange | null>(
    (best, change) => (best === null || reductionOf(change, name) > reductionOf(best, name) ? change : best),
    null,
  );
}

function reductionOf(change: PlannedChange, name: Headline): number {
  return change.headlines?.[name].reduction ?? 0;
}

function gain(name: Headline, now: HeadlineUs, change: PlannedChange, units: UnitSet): string {
  return `${QUANTITIES[name].words.toLowerCase()} ${fromTo(name, now, change, units)}`;
}

/** "± 0.045 to ± 0.038 m/s": two digits each, for the change to be seen. */
function fromTo(name: Headline, now: HeadlineUs, change: PlannedChange, units: UnitSet): string {
  const { symbol, factor } = displayUnit(QUANTITIES[name].unit, units);
  const shown = (u: number) =>
    `± ${(u * factor).toFixed(Math.min(12, Math.max(0, 1 - Math.floor(Math.log10(u * factor)))))}`;
  const space = symbol === "°" ? "" : " ";
  return `${shown(now[name].u)} to ${shown(change.headlines?.[name].u ?? now[name].u)}${space}${symbol}`;
}

function joined(words: readonly string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}
