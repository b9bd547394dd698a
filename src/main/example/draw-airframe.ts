import { type Canvas, type Colour, colour, fill, type Paint } from "./draw-paint.ts";
import { bar, circle, type Outline, ribbon, smoothOutline } from "./draw-shape.ts";
import { drawTarget } from "./draw-target.ts";
import {
  bodyToWorld,
  type Pose,
  TRUE_AIRFRAME,
  TRUE_CAMERA,
  type World,
  worldToPixel,
} from "./example-scene.ts";

/**
 * Body places are [forward, up] in metres from the centre of gravity; a place given twice is a sharp corner.
 */
type Body = World;

const FUSELAGE: readonly Body[] = [
  [0.215, -0.01],
  [0.206, 0.006],
  [0.176, 0.024],
  [0.13, 0.035],
  [0.06, 0.041],
  [-0.03, 0.04],
  [-0.12, 0.031],
  [-0.235, 0.0185],
  [-0.345, 0.012],
  [-0.345, 0.012],
  [-0.349, -0.008],
  [-0.349, -0.008],
  [-0.235, -0.0305],
  [-0.12, -0.04],
  [0.02, -0.046],
  [0.12, -0.0435],
  [0.185, -0.033],
  [0.208, -0.021],
];
const BELLY: readonly Body[] = [
  [0.212, -0.017],
  [0.212, -0.017],
  [0.19, -0.0265],
  [0.12, -0.031],
  [0, -0.0275],
  [-0.15, -0.0215],
  [-0.235, -0.0255],
  [-0.235, -0.0255],
  [-0.235, -0.0305],
  [-0.235, -0.0305],
  [-0.12, -0.04],
  [0.02, -0.046],
  [0.12, -0.0435],
  [0.185, -0.033],
  [0.208, -0.021],
];
const CANOPY: readonly Body[] = [
  [0.174, 0.022],
  [0.174, 0.022],
  [0.15, 0.044],
  [0.118, 0.057],
  [0.088, 0.058],
  [0.066, 0.04],
  [0.066, 0.04],
];
const CANOPY_GLINT: readonly Body[] = [
  [0.156, 0.037],
  [0.132, 0.049],
  [0.108, 0.0535],
];
const FIN: readonly Body[] = [
  [-0.2, 0.02],
  [-0.2, 0.02],
  [-0.245, 0.034],
  [-0.265, 0.052],
  [-0.3, 0.12],
  [-0.309, 0.127],
  [-0.352, 0.127],
  [-0.359, 0.12],
  [-0.345, 0.01],
  [-0.345, 0.01],
];
const RUDDER: readonly Body[] = [
  [-0.33, 0.127],
  [-0.33, 0.127],
  [-0.352, 0.127],
  [-0.359, 0.12],
  [-0.345, 0.009],
  [-0.345, 0.009],
  [-0.324, 0.0115],
  [-0.324, 0.0115],
];
const STABILISER: readonly Body[] = [
  [-0.25, 0.0545],
  [-0.256, 0.0585],
  [-0.275, 0.0605],
  [-0.31, 0.0595],
  [-0.362, 0.0555],
  [-0.362, 0.0555],
  [-0.31, 0.0535],
  [-0.27, 0.0525],
];
/** The near wing panel: its root on the fuselage, its tip nearer the camera and higher by the dihedral. */
const WING: readonly Body[] = [
  [0.098, 0.0475],
  [0.096, 0.0535],
  [0.078, 0.0645],
  [0.05, 0.0775],
  [0.038, 0.0815],
  [0.02, 0.0825],
  [-0.04, 0.0775],
  [-0.088, 0.0715],
  [-0.088, 0.0715],
  [-0.128, 0.029],
  [-0.128, 0.029],
  [-0.02, 0.038],
  [0.07, 0.0385],
];
const WING_TIP: readonly Body[] = [
  [0.054, 0.0765],
  [0.047, 0.0805],
  [0.034, 0.0836],
  [0.016, 0.0842],
  [-0.03, 0.0795],
  [-0.088, 0.0712],
  [-0.088, 0.0712],
  [-0.03, 0.0755],
  [0.03, 0.0752],
];
const AILERON: readonly Body[] = [
  [-0.058, 0.0735],
  [-0.094, 0.0395],
];

const CREAM = [colour("#fffdf4"), colour("#f3efe2"), colour("#cbc7b9"), colour("#8f8d86")];
const NAVY = [colour("#3d5d80"), colour("#243c58"), colour("#162636")];
const SUNFLOWER = [colour("#f4cf62"), colour("#e5b43c"), colour("#b98722")];
const SUNFLOWER_UNDER = [colour("#fbe08a"), colour("#8d681d")];
const SUNFLOWER_DARK = colour("#9c7120");
const SMOKE = [colour("#8fa5b3"), colour("#33424e"), colour("#1d2730")];
const GLINT = colour("#dfe9ee");
const HAIRLINE = colour("#4b4a44");
const STEEL = colour("#5b6167");

const NOSE_TARGET_RADIUS_M = 0.0225;
const TAIL_TARGET_RADIUS_M = 0.0195;

/** The airframe seen from its right side, at a pose: fuselage, wing, tail and its two targets. */
export function drawAirframe(canvas: Canvas, pose: Pose): void {
  const at = (place: Body) => worldToPixel(bodyToWorld(pose, place));
  const shape = (places: readonly Body[]): Outline => smoothOutline(places.map(at));
  const shaded = (from: Body, to: Body, colours: readonly Colour[]): Paint => ({
    from: at(from),
    to: at(to),
    colours,
  });
  const px = (metres: number) => metres / TRUE_CAMERA.metresPerPx;

  fill(canvas, shape(FIN), shaded([-0.24, 0.13], [-0.26, 0.02], SUNFLOWER));
  fill(canvas, shape(RUDDER), shaded([-0.33, 0.13], [-0.33, 0.01], NAVY));
  fill(canvas, shape(CANOPY), shaded([0.1, 0.068], [0.11, 0.03], SMOKE));
  fill(canvas, ribbon(CANOPY_GLINT.map(at), px(0.0035)), GLINT, 0.65);
  fill(canvas, shape(FUSELAGE), shaded([0, 0.042], [0, -0.047], CREAM));
  fill(canvas, shape(BELLY), shaded([0, -0.018], [0, -0.048], NAVY));
  fill(canvas, bar(at([0.184, 0.0205]), at([0.184, -0.0325]), px(0.0011)), HAIRLINE, 0.55);
  fill(canvas, shape(STABILISER), shaded([-0.3, 0.061], [-0.3, 0.052], SUNFLOWER_UNDER));
  fill(canvas, shape(WING), shaded([0.0, 0.084], [-0.012, 0.038], SUNFLOWER));
  fill(canvas, shape(WING_TIP), SUNFLOWER_DARK, 0.75);
  fill(canvas, bar(at(AILERON[0]), at(AILERON[1]), px(0.0012)), SUNFLOWER_DARK, 0.8);
  fill(canvas, circle(at([0.004, -0.001]), px(0.0075)), HAIRLINE);
  fill(canvas, circle(at([0.004, -0.001]), px(0.0055)), STEEL);

  const { nose, tail } = TRUE_AIRFRAME.targets;
  const lean = pose.pitch - TRUE_CAMERA.rollRad;
  drawTarget(canvas, at(nose), NOSE_TARGET_RADIUS_M, lean);
  drawTarget(canvas, at(tail), TAIL_TARGET_RADIUS_M, lean);
}

/** Body places that enclose all that drawAirframe draws. */
export const AIRFRAME_REACH: readonly Body[] = [
  [0.222, -0.06],
  [0.222, 0.14],
  [-0.37, 0.14],
  [-0.37, -0.06],
];
