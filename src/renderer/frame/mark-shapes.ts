/** An open outline around a mark, css px relative to it; the centre stays clear. */
export interface Outline {
  readonly lines: readonly (readonly (readonly [number, number])[])[];
  readonly closed: boolean;
}

export const SHAPE_NAMES = [
  "ring",
  "square",
  "diamond",
  "triangle",
  "tent",
  "hexagon",
  "bracket",
  "cross",
] as const;
export type ShapeName = (typeof SHAPE_NAMES)[number];

/**
 * What a point is drawn with: its own shape and letter, so that neither colour nor place
 * has to tell points apart.
 */
export interface PointSign {
  readonly shape: ShapeName;
  readonly letter: string;
}

/**
 * Gives every point its shape (in turn, by its place in the list) and its letter: the first letter of its
 * name that no earlier point has, else its number.
 */
export function pointSigns(
  points: readonly { readonly id: string; readonly name: string }[],
): ReadonlyMap<string, PointSign> {
  const taken = new Set<string>();
  const signs = new Map<string, PointSign>();
  points.forEach((point, i) => {
    const letters = [...point.name.toUpperCase()].filter((c) => /\p{L}|\p{N}/u.test(c));
    const letter = letters.find((c) => !taken.has(c)) ?? String(i + 1);
    taken.add(letter);
    signs.set(point.id, { shape: SHAPE_NAMES[i % SHAPE_NAMES.length]!, letter });
  });
  return signs;
}

/**
 * The outline of a shape with radius r: every corner lies at r or a little beyond, nothing nearer than r/2.
 */
export function outlineOf(shape: ShapeName, r: number): Outline {
  switch (shape) {
    case "ring":
      return { lines: [polygon(32, r, 0)], closed: true };
    case "square":
      return { lines: [polygon(4, r * 1.2, 45)], closed: true };
    case "diamond":
      return { lines: [polygon(4, r * 1.3, 0)], closed: true };
    case "triangle":
      return { lines: [polygon(3, r * 1.45, -90)], closed: true };
    case "tent":
      return { lines: [polygon(3, r * 1.45, 90)], closed: true };
    case "hexagon":
      return { lines: [polygon(6, r * 1.15, 0)], closed: true };
    case "bracket":
      return {
        lines: [-1, 1].map((s) => [
          [s * r * 0.55, -r * 1.1],
          [s * r * 1.1, -r * 1.1],
          [s * r * 1.1, r * 1.1],
          [s * r * 0.55, r * 1.1],
        ]),
        closed: false,
      };
    case "cross":
      return {
        lines: [45, 135, 225, 315].map((deg) => [polar(r * 0.6, deg), polar(r * 1.5, deg)]),
        closed: false,
      };
  }
}

function polygon(corners: number, r: number, firstDeg: number): readonly (readonly [number, number])[] {
  return Array.from({ length: corners }, (_, i) => polar(r, firstDeg + (360 * i) / corners));
}

function polar(r: number, deg: number): readonly [number, number] {
  const rad = (deg * Math.PI) / 180;
  return [r * Math.cos(rad), r * Math.sin(rad)];
}
