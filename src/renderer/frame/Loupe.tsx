import { useLayoutEffect, useRef } from "react";
import type { Extent, Place } from "../viewport/viewport.ts";
import { loupePlace } from "./loupe-place.ts";
import type { Picture } from "./pictures.ts";

const RADIUS = 66; // css px
const GAP = 26; // css px between the pointer and the rim: nearer, it would cover a mark's letter
const CLEAR = 7; // css px around the centre that the cross leaves free

export interface LoupeProps {
  /** css px in the view, what is pointed at */
  readonly pointer: Place;
  /** picture px under the loupe's centre */
  readonly target: Place;
  readonly picture: Picture | null;
  readonly pictureSize: Extent;
  readonly view: Extent;
  /** loupe px per picture px */
  readonly power: number;
  readonly label: string;
}

/** The magnified surroundings of the pointer, beside it; the cross leaves the centre free. */
export function Loupe({ pointer, target, picture, pictureSize, view, power, label }: LoupeProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [x, y] = loupePlace(pointer, RADIUS, GAP, view);
  const ratio = Math.min(2, window.devicePixelRatio || 1);

  useLayoutEffect(() => {
    const pen = canvas.current?.getContext("2d");
    if (!pen || picture === null) return;
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    pen.imageSmoothingEnabled = false;
    pen.fillStyle = "#10181c";
    pen.fillRect(0, 0, 2 * RADIUS, 2 * RADIUS);
    const shrink = picture.image.width / pictureSize.width;
    const reach = RADIUS / power;
    pen.drawImage(
      picture.image,
      (target[0] - reach) * shrink,
      (target[1] - reach) * shrink,
      2 * reach * shrink,
      2 * reach * shrink,
      0,
      0,
      2 * RADIUS,
      2 * RADIUS,
    );
    for (const [width, colour] of [
      [3.5, "rgba(10, 16, 20, 0.7)"],
      [1.25, "#ffffff"],
    ] as const) {
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.beginPath();
      for (const [dx, dy] of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ] as const) {
        pen.moveTo(RADIUS + dx * CLEAR, RADIUS + dy * CLEAR);
        pen.lineTo(RADIUS + dx * (RADIUS - 10), RADIUS + dy * (RADIUS - 10));
      }
      pen.stroke();
    }
  }, [picture, pictureSize.width, power, ratio, target[0], target[1]]);

  return (
    <div
      className="loupe"
      style={{ left: x - RADIUS, top: y - RADIUS, width: 2 * RADIUS }}
      aria-hidden="true"
    >
      <canvas
        ref={canvas}
        width={2 * RADIUS * ratio}
        height={2 * RADIUS * ratio}
        style={{ width: 2 * RADIUS, height: 2 * RADIUS }}
      />
      <div className="loupe-label">{label}</div>
    </div>
  );
}
