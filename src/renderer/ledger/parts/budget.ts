import { showMeasured, type UnitSet } from "../../../shared/quantity/display.ts";
import type { Unit } from "../../../shared/quantity/measured.ts";
import type { BudgetLine } from "../../../shared/results/shot-result.ts";

/** A source's share of a result's variance; shares of one budget add up to 1. */
export interface Share {
  readonly source: BudgetLine["source"];
  readonly share: number;
  /** Nobody stated most of what it rests on. */
  readonly assumed?: true;
}

/**
 * Shares of the variance, largest first: u_i² / sum of u². Empty when no line has a u.
 * Source: JCGM 100:2008, 5.1.3.
 */
export function sharesOf(lines: readonly BudgetLine[]): readonly Share[] {
  const total = lines.reduce((sum, line) => sum + line.u ** 2, 0);
  if (!(total > 0)) return [];
  return lines
    .map(({ source, u, assumed }) => ({ source, share: u ** 2 / total, ...(assumed && { assumed }) }))
    .sort((a, b) => b.share - a.share);
}

/** The name of a source in a budget. */
export function sourceText({ source, assumed }: Pick<BudgetLine, "source" | "assumed">): string {
  return assumed === true ? `${source} (assumed)` : source;
}

/** "scale 58 % · clock (assumed) 21 % · marks 21 %"; sources below half a per cent are left out. */
export function sharesText(shares: readonly Share[]): string {
  return shares
    .filter(({ share }) => share >= 0.005)
    .map((one) => `${sourceText(one)}\u00a0${Math.round(one.share * 100)}\u00a0%`)
    .join(" · ");
}

/** One line of the full budget, as it is read. */
export interface BudgetRow {
  readonly source: BudgetLine["source"];
  readonly assumed?: true;
  /** in the person's unit, without its symbol */
  readonly u: string;
  readonly share: string;
}

/**
 * Every source with its u in the person's unit and its share of the variance, largest first; lines
 * of one source are one row.
 */
export function budgetRows(lines: readonly BudgetLine[], unit: Unit, units: UnitSet): readonly BudgetRow[] {
  const variances = new Map<BudgetLine["source"], number>();
  for (const { source, u } of lines) variances.set(source, (variances.get(source) ?? 0) + u ** 2);
  const merged = [...variances].map(([source, variance]) => {
    const assumed = lines.some((line) => line.source === source && line.assumed === true);
    return { source, u: Math.sqrt(variance), ...(assumed && { assumed: true as const }) };
  });
  return sharesOf(merged).map(({ source, share, assumed }) => ({
    source,
    ...(assumed && { assumed }),
    u: showMeasured({ value: 0, u: merged.find((line) => line.source === source)?.u ?? 0 }, unit, units).u,
    share: `${(100 * share).toFixed(share < 0.0995 ? 1 : 0)}\u00a0%`,
  }));
}

const REMEDIES: Readonly<Record<BudgetLine["source"], string>> = {
  marks: "more frames marked, or marks placed at a higher zoom, would narrow it most",
  scale: "a longer rod, or one measured more closely, would narrow it most",
  clock: "a capture rate checked against a known lamp or timer would narrow it most",
  plumb: "a longer plumb line, at rest, would narrow it most",
  "centre of gravity": "a balance point measured more closely would narrow it most",
  lens: "a lens profile found from more lines, reaching the corners, would narrow it most",
  plane: "its distances, turn or known points measured more closely would narrow it most",
  shutter: "a readout time measured for this camera would narrow it most",
  camera: "a camera on a stand, or posts in the flight plane, would narrow it most",
  mass: "an airframe weighed more closely would narrow it most",
  "pitch inertia": "a pitch inertia measured by swinging the airframe would narrow it most",
  release: "release seen in the picture, or more frames around it, would narrow it most",
};

/** A source as it is said within a sentence. */
const SPOKEN: Readonly<Record<BudgetLine["source"], string>> = {
  marks: "marks",
  scale: "scale",
  clock: "clock",
  plumb: "the plumb",
  "centre of gravity": "the centre of gravity",
  lens: "the lens",
  plane: "the flight plane",
  shutter: "the shutter",
  camera: "how the camera moved",
  mass: "the mass",
  "pitch inertia": "the pitch inertia",
  release: "the instant of release",
};

/** What would narrow a result most: a plain sentence about its largest source; null without one. */
export function budgetAdvice(shares: readonly Share[]): string | null {
  const largest = shares[0];
  if (largest === undefined) return null;
  const most = largest.share > 0.5 ? "Most of it is" : "The largest part is";
  if (largest.assumed === true)
    return `${most} ${SPOKEN[largest.source]}, whose uncertainty is assumed: state it.`;
  return `${most} ${SPOKEN[largest.source]}: ${REMEDIES[largest.source]}.`;
}
