import { GROUND_M } from "./draw-field.ts";
import { type Canvas, type Colour, colour, fill, type Paint } from "./draw-paint.ts";
import { bar, circle, ribbon, smoothOutline } from "./draw-shape.ts";
import { type Pixel, rampToWorld, TRUE_CAMERA, type World, worldToPixel } from "./example-scene.ts";

/**
 * Ramp places are [along, above]: metres along the push line and above it, from the
 * centre of gravity at rest.
 */
const AXIS_M = -0.087; // the barrel lies this far below the push line
const MOUTH_M = -0.03;
const REAR_M = -0.93;
const ROD_TIP_M = 0.03;

const TUBE = [colour("#eef0f0"), colour("#c4c9cb"), colour("#878e92"), colour("#565d61")];
const COLLAR = [colour("#6f7780"), colour("#3d444b"), colour("#22272c")];
const CHROME = [colour("#aab2b7"), colour("#f4f7f8"), colour("#9aa2a8"), colour("#5a6268")];
const LEG = [colour("#7d6a50"), colour("#5a4a36")];
const TANK = [colour("#c8d3c8"), colour("#8fa294"), colour("#5e7266"), colour("#3b4a42")];
const HOSE = colour("#2a2d30");
const HOSE_LIT = colour("#5d6266");
const BRASS = colour("#b79b55");
const DIAL = colour("#f6f4ec");
const FOAM = [colour("#4c5157"), colour("#2b3036")];

const at = (place: World): Pixel => worldToPixel(rampToWorld(place));
const px = (metres: number) => metres / TRUE_CAMERA.metresPerPx;

/** Light from above across something as wide as a tube lying between two ramp places. */
function across(along: number, middle: number, width: number, colours: readonly Colour[]): Paint {
  return { from: at([along, middle + width / 2]), to: at([along, middle - width / 2]), colours };
}

function tube(canvas: Canvas, from: number, to: number, width: number, colours: readonly Colour[]): void {
  fill(canvas, bar(at([from, AXIS_M]), at([to, AXIS_M]), px(width)), across(from, AXIS_M, width, colours));
}

/**
 * The parts of the launcher that stand still: legs, tank, hose, barrel and the rest that carries the tail.
 */
export function drawLauncher(canvas: Canvas): void {
  leg(canvas, [-0.13, AXIS_M], -0.2);
  leg(canvas, [-0.13, AXIS_M], 0.03);
  leg(canvas, [-0.86, AXIS_M], -0.87);
  drawTank(canvas);
  tube(canvas, REAR_M, MOUTH_M, 0.05, TUBE);
  for (const [from, to] of [
    [REAR_M - 0.012, REAR_M + 0.035],
    [-0.885, -0.835],
    [-0.16, -0.1],
    [MOUTH_M - 0.03, MOUTH_M],
  ] as const) {
    tube(canvas, from, to, 0.062, COLLAR);
  }
  const rest = [-0.262, -0.215] as const;
  fill(
    canvas,
    [
      at([rest[0], AXIS_M + 0.02]),
      at([rest[0], -0.026]),
      at([rest[1], -0.026]),
      at([rest[1], AXIS_M + 0.02]),
    ],
    { from: at([rest[0], 0]), to: at([rest[1], 0]), colours: FOAM },
  );
}

function leg(canvas: Canvas, top: World, footX: number): void {
  const foot = worldToPixel([footX, GROUND_M - 0.004]);
  const head = at(top);
  fill(canvas, bar(head, foot, px(0.026), px(0.022)), {
    from: [head[0] - 8, head[1]],
    to: [head[0] + 8, head[1]],
    colours: LEG,
  });
}

function drawTank(canvas: Canvas): void {
  const [left, right, middle, radius] = [-0.62, -0.22, -0.525, 0.055];
  for (const x of [-0.55, -0.29]) {
    fill(
      canvas,
      [
        worldToPixel([x - 0.05, GROUND_M - 0.003]),
        worldToPixel([x - 0.03, middle]),
        worldToPixel([x + 0.03, middle]),
        worldToPixel([x + 0.05, GROUND_M - 0.003]),
      ],
      LEG[1],
    );
  }
  const rear = at([REAR_M + 0.02, AXIS_M]);
  const hose = smoothOutline(
    [
      worldToPixel([left + 0.02, middle]),
      worldToPixel([left - 0.09, middle - 0.005]),
      worldToPixel([left - 0.2, middle - 0.02]),
      worldToPixel([left - 0.27, middle + 0.03]),
      rear,
    ],
    false,
  );
  fill(canvas, ribbon(hose, px(0.024)), HOSE);
  fill(
    canvas,
    ribbon(
      hose.map(([x, y]) => [x - 1.5, y - 2.5] as const),
      px(0.004),
    ),
    HOSE_LIT,
    0.8,
  );
  const round: World[] = [
    [left + 0.03, middle + radius],
    [right - 0.03, middle + radius],
    [right - 0.03, middle + radius],
    [right - 0.006, middle + radius * 0.7],
    [right, middle],
    [right - 0.006, middle - radius * 0.7],
    [right - 0.03, middle - radius],
    [right - 0.03, middle - radius],
    [left + 0.03, middle - radius],
    [left + 0.03, middle - radius],
    [left + 0.006, middle - radius * 0.7],
    [left, middle],
    [left + 0.006, middle + radius * 0.7],
    [left + 0.03, middle + radius],
  ];
  fill(canvas, smoothOutline(round.map(worldToPixel)), {
    from: worldToPixel([0, middle + radius]),
    to: worldToPixel([0, middle - radius]),
    colours: TANK,
  });
  for (const x of [-0.5, -0.34]) {
    fill(
      canvas,
      bar(worldToPixel([x, middle + radius]), worldToPixel([x, middle - radius]), px(0.014)),
      COLLAR[1],
      0.75,
    );
  }
  const gauge: World = [-0.42, middle + radius + 0.04];
  fill(canvas, bar(worldToPixel([gauge[0], middle + radius]), worldToPixel(gauge), px(0.012)), BRASS);
  fill(canvas, circle(worldToPixel(gauge), px(0.03)), BRASS);
  fill(canvas, circle(worldToPixel(gauge), px(0.025)), DIAL);
  const needle: World = [gauge[0] + 0.014, gauge[1] + 0.012];
  fill(canvas, bar(worldToPixel(gauge), worldToPixel(needle), px(0.0045), px(0.002)), HOSE);
}

/**
 * The rod, out of the barrel by its travel, with the collar that carries the fork; at
 * most `shownM` of its shaft.
 */
export function drawRod(canvas: Canvas, travelM: number, shownM = Number.POSITIVE_INFINITY): void {
  const tip = ROD_TIP_M + travelM;
  tube(canvas, Math.max(MOUTH_M, tip - shownM), tip, 0.016, CHROME);
  tube(canvas, tip - 0.045, tip + 0.012, 0.03, COLLAR);
}

/**
 * The arm of the fork, from the rod up to the peg on the far side of the airframe, which hides its upper end.
 */
export function drawFork(canvas: Canvas, travelM: number): void {
  const root = travelM + ROD_TIP_M - 0.018;
  const places: readonly World[] = [
    [root - 0.02, AXIS_M - 0.012],
    [root + 0.018, AXIS_M - 0.012],
    [travelM + 0.004, -0.02],
    [travelM - 0.0035, -0.007],
    [travelM - 0.0045, 0.011],
    [travelM - 0.015, 0.012],
    [travelM - 0.018, -0.02],
  ];
  fill(canvas, places.map(at), {
    from: at([travelM - 0.02, 0]),
    to: at([travelM + 0.03, 0]),
    colours: COLLAR,
  });
}

/** Ramp place at the mouth of the barrel, below the shaft of the rod. */
export const ROD_MOUTH: World = [MOUTH_M - 0.01, AXIS_M - 0.02];

/** Ramp places that enclose the fork and the end of the rod. */
export function forkReach(travelM: number): readonly World[] {
  const [rear, front] = [travelM + ROD_TIP_M - 0.06, travelM + ROD_TIP_M + 0.025];
  const [low, high] = [AXIS_M - 0.03, 0.02];
  return [
    [rear, low],
    [rear, high],
    [front, low],
    [front, high],
  ];
}
