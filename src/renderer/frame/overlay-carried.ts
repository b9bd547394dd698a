import type { AppState } from "../app-state/app-state.ts";
import { offeredSetUp } from "../app-state/offered-set-up.ts";
import { toScreen, type Viewport } from "../viewport/viewport.ts";
import { type OverlayItem, ring } from "./overlay-item.ts";

const FAINT = { width: 1, dash: [3, 4] };

/**
 * What was found of a former shot's set-up in this frame, faint and with its name: a proposal, of which
 * nothing counts yet. What is not sure has a question mark.
 */
export function carriedItems(state: AppState, viewport: Viewport): readonly OverlayItem[] {
  const offered = offeredSetUp(state);
  if (offered?.offer.status !== "found" || offered.offer.found.frame !== state.frame) return [];
  const { picks } = offered;
  const places = new Map(offered.offer.found.picks.map((pick) => [pick.id, pick]));
  const ends = new Map<string, (readonly [number, number])[]>();
  const items = picks.flatMap(({ id, group, says }): OverlayItem[] => {
    const found = places.get(id);
    if (found === undefined) return [];
    const at = toScreen(viewport, found.at);
    if (group !== "control") ends.set(group, [...(ends.get(group) ?? []), at]);
    const text = `${says.replace(/^the /, "")}${found.doubt === null ? "" : "?"}`;
    return [
      { ...ring(`carried-${id}`, at, "trail"), ...FAINT },
      { kind: "label", key: `carried-${id}-label`, tone: "trail", at: [at[0] + 6, at[1] - 18], text },
    ];
  });
  const lines = [...ends].flatMap(([group, [a, b]]): OverlayItem[] =>
    a === undefined || b === undefined
      ? []
      : [
          {
            kind: "lines",
            key: `carried-${group}`,
            tone: "trail",
            closed: false,
            ...FAINT,
            lines: [[a, b]],
          },
        ],
  );
  return [...lines, ...items];
}
