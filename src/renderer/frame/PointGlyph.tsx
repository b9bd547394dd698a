import type { Point } from "../../shared/session/schema.ts";
import { outlineOf, pointSigns } from "./mark-shapes.ts";

/** The shape and letter of a point, as on the picture. */
export function PointGlyph({ id, points }: { readonly id: string; readonly points: readonly Point[] }) {
  const sign = pointSigns(points).get(id);
  if (sign === undefined) return null;
  const { lines, closed } = outlineOf(sign.shape, 6);
  const path = lines
    .map(
      (line) => `M${line.map(([x, y]) => `${x.toFixed(2)} ${y.toFixed(2)}`).join("L")}${closed ? "Z" : ""}`,
    )
    .join("");
  return (
    <>
      <svg className="glyph" width="20" height="20" viewBox="-10 -10 20 20" aria-hidden="true">
        <path d={path} />
      </svg>
      <b>{sign.letter}</b>
    </>
  );
}
