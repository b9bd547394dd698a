import type { Readout } from "../clock/frame-clock.ts";
import type { Measured } from "../quantity/measured.ts";
import type { ClipFacts } from "../session/clip-facts.ts";

/**
 * The rolling shutter as the upright picture shows it: a turned clip was read across, or from the other side.
 */
export function readoutOf(
  readoutS: Measured | undefined,
  facts: Pick<ClipFacts, "width" | "height" | "rotationDeg"> | null,
): { readonly readout: Readout | null; rowOf(x: number, y: number): number } {
  const none = { readout: null, rowOf: (_x: number, y: number) => y };
  if (readoutS === undefined || facts === null || (readoutS.value === 0 && readoutS.u === 0)) return none;
  const { width, height, rotationDeg } = facts;
  switch (rotationDeg) {
    case 90:
      return { readout: { readoutS, heightPx: width }, rowOf: (x) => width - x };
    case 180:
      return { readout: { readoutS, heightPx: height }, rowOf: (_x, y) => height - y };
    case 270:
      return { readout: { readoutS, heightPx: width }, rowOf: (x) => x };
    default:
      return { readout: { readoutS, heightPx: height }, rowOf: (_x, y) => y };
  }
}
