import type { Proposal } from "../picking/proposed.ts";
import { type Place, toScreen, type Viewport } from "../viewport/viewport.ts";
import type { OverlayItem } from "./overlay-item.ts";

const DASH = [3, 5]; // css px; thinner and shorter than a follower's mark
const LEAST_R = 9; // css px: a small target's outline does not cover it
const CLEAR = 4; // css px between a target and its outline
const LINE_REACH = 7; // css px from a rod or a line that still mean it
const SIDES = 40;

/** css px */
function radiusOf({ target }: Extract<Proposal, { kind: "target" }>, { scale }: Viewport): number {
  return Math.max(LEAST_R, target.radiusPx * scale + CLEAR);
}

/** Thin broken outlines, the one that the keyboard takes in bold and with its name. */
export function proposalItems(
  viewport: Viewport,
  all: readonly Proposal[],
  lit: Proposal | null,
  name: string,
): readonly OverlayItem[] {
  return all.flatMap((proposal, i): OverlayItem[] => {
    const isLit = sameThing(proposal, lit);
    const key = `proposal-${i}`;
    const lines = outlineOf(viewport, proposal);
    const [x, y] = labelAt(viewport, proposal);
    const look = { tone: "trail", width: isLit ? 2 : 1, dash: DASH } as const;
    const closed = proposal.kind === "target";
    return [
      { kind: "lines", key, ...look, closed, lines },
      ...(isLit
        ? [{ kind: "label", key: `${key}-name`, tone: "trail", at: [x, y - 12], text: name } as const]
        : []),
    ];
  });
}

/** The proposal whose outline a place of the view lies in or on; targets before what they are on. */
export function proposalUnder(viewport: Viewport, all: readonly Proposal[], at: Place): Proposal | null {
  const targets = all.filter((one) => one.kind === "target");
  const off = (one: (typeof targets)[number]) => apart(toScreen(viewport, one.target.at), at);
  const under = targets.filter((one) => off(one) <= radiusOf(one, viewport)).sort((a, b) => off(a) - off(b));
  if (under[0] !== undefined) return under[0];
  return (
    all.find((one) => {
      if (one.kind === "target") return false;
      const [a, b] = endsOf(viewport, one);
      return fromSegment(at, a, b) <= LINE_REACH;
    }) ?? null
  );
}

function sameThing(one: Proposal, other: Proposal | null): boolean {
  if (one.kind === "target") return other?.kind === "target" && other.target === one.target;
  if (one.kind === "line") return other?.kind === "line" && other.line === one.line;
  return other?.kind === "rod" && other.ends.every((end, i) => end === one.ends[i]);
}

function endsOf(viewport: Viewport, one: Exclude<Proposal, { kind: "target" }>): readonly [Place, Place] {
  const [a, b] = one.kind === "rod" ? one.ends.map(({ at }) => at) : [one.line.top, one.line.bottom];
  return [toScreen(viewport, a as Place), toScreen(viewport, b as Place)];
}

function outlineOf(viewport: Viewport, proposal: Proposal): readonly (readonly Place[])[] {
  if (proposal.kind !== "target") return [endsOf(viewport, proposal)];
  const [x, y] = toScreen(viewport, proposal.target.at);
  const r = radiusOf(proposal, viewport);
  const angles = Array.from({ length: SIDES }, (_, k) => (2 * Math.PI * k) / SIDES);
  return [angles.map((angle): Place => [x + r * Math.cos(angle), y + r * Math.sin(angle)])];
}

function labelAt(viewport: Viewport, proposal: Proposal): Place {
  if (proposal.kind !== "target") {
    const [a, b] = endsOf(viewport, proposal);
    return proposal.kind === "line" ? a : [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  }
  const [x, y] = toScreen(viewport, proposal.target.at);
  return [x, y - radiusOf(proposal, viewport)];
}

function apart(a: Place, b: Place): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function fromSegment(at: Place, a: Place, b: Place): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const share = ((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / (dx * dx + dy * dy || 1);
  const held = Math.max(0, Math.min(1, share));
  return apart(at, [a[0] + held * dx, a[1] + held * dy]);
}
