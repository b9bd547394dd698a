import type Konva from "konva";
import { Layer, Shape, Stage, Text } from "react-konva";
import type { Extent, Place } from "../viewport/viewport.ts";
import type { OverlayItem, Tone } from "./overlay-item.ts";

/**
 * Light strokes over a picture; the halo is the same dark for all. Not themed: the
 * picture is what they stand on.
 */
const STROKES: Readonly<Record<Tone, string>> = {
  mark: "#ffffff",
  chosen: "#ffd95a",
  trail: "#8ff0e8",
  scale: "#ffffff",
  plumb: "#ffffff",
};
const HALO = "rgba(10, 16, 20, 0.78)";
const LABEL_PX = 13;

/** Draws the overlay's items over the picture with Konva; it takes no pointer events, the frame does. */
export function Overlay({ view, items }: { readonly view: Extent; readonly items: readonly OverlayItem[] }) {
  return (
    <Stage className="overlay" width={view.width} height={view.height} listening={false}>
      <Layer listening={false}>
        {items.map((item) =>
          item.kind === "label" ? (
            <Text
              key={item.key}
              x={item.at[0] - 90}
              y={item.at[1] - LABEL_PX / 2}
              width={180}
              align="center"
              text={item.text}
              fontFamily="Inter"
              fontStyle="600"
              fontSize={LABEL_PX}
              fill={STROKES[item.tone]}
              stroke={HALO}
              strokeWidth={3}
              lineJoin="round"
              fillAfterStrokeEnabled
              perfectDrawEnabled={false}
            />
          ) : (
            <Shape key={item.key} sceneFunc={(context) => draw(context, item)} perfectDrawEnabled={false} />
          ),
        )}
      </Layer>
    </Stage>
  );
}

function draw(context: Konva.Context, item: Exclude<OverlayItem, { kind: "label" }>): void {
  const pen = context._context;
  pen.save();
  pen.lineCap = "round";
  pen.lineJoin = "round";
  pen.beginPath();
  if (item.kind === "dots") {
    for (const [x, y] of item.at) {
      pen.moveTo(x + item.r, y);
      pen.arc(x, y, item.r, 0, 2 * Math.PI);
    }
    stroke(pen, item.tone, 1.2);
  } else {
    for (const line of item.lines) trace(pen, line, item.closed);
    if (item.dash !== undefined) pen.setLineDash([...item.dash]);
    stroke(pen, item.tone, item.width);
  }
  pen.restore();
}

function trace(pen: CanvasRenderingContext2D, line: readonly Place[], closed: boolean): void {
  line.forEach(([x, y], i) => {
    if (i === 0) pen.moveTo(x, y);
    else pen.lineTo(x, y);
  });
  if (closed) pen.closePath();
}

function stroke(pen: CanvasRenderingContext2D, tone: Tone, width: number): void {
  pen.strokeStyle = HALO;
  pen.lineWidth = width + 2.4;
  pen.stroke();
  pen.strokeStyle = STROKES[tone];
  pen.lineWidth = width;
  pen.stroke();
}
