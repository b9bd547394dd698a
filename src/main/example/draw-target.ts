import { type Canvas, colour, fill } from "./draw-paint.ts";
import { circle, pieSlice } from "./draw-shape.ts";
import { type Pixel, TRUE_CAMERA } from "./example-scene.ts";

const WHITE = colour("#f4f4f0");
const BLACK = colour("#16181a");

/**
 * A round target with alternating black and white quarters in a thin black ring. It looks the same turned by
 * half a turn, so its middle is where the quarters meet, however it is blurred or scaled.
 * @param angle rad, direction of one border between quarters, anticlockwise from the picture's x axis
 */
export function drawTarget(canvas: Canvas, centre: Pixel, radiusM: number, angle: number): void {
  const radius = radiusM / TRUE_CAMERA.metresPerPx;
  const ring = Math.min(2.2, radius * 0.14);
  fill(canvas, circle(centre, radius), BLACK);
  fill(canvas, circle(centre, radius - ring), WHITE);
  for (const turn of [0, Math.PI]) {
    fill(canvas, pieSlice(centre, radius - ring / 2, turn - angle, turn - angle + Math.PI / 2), BLACK);
  }
}
