import type { ThrustCurveFaultCode } from "../../quantity/fault-codes.ts";
import { lastOf } from "../../quantity/known-element.ts";
import { type Fault, FaultError } from "../../quantity/notice.ts";
import type { ThrustCurve, ThrustPoint } from "./thrust-curve.ts";

// a line is of the text, not of the points
type CurveFault = Fault<Exclude<ThrustCurveFaultCode, "thrust-curve-line">>;

const MOST_POINTS = 2000;
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/**
 * Reads a thrust curve from text: one point a line, time in s and thrust in N, parted by comma,
 * semicolon, tab or spaces. Parted by anything but a comma, numbers may have decimal commas. Empty lines
 * and what follows a # are passed over; the first line may be a header. A curve that begins after
 * ignition begins at [0, 0].
 * @throws FaultError naming the line and what would do
 */
export function readThrustCurve(text: string): ThrustCurve {
  const points: ThrustPoint[] = [];
  const lines: number[] = [];
  let headed = false;
  for (const [i, raw] of text.split(/\r\n|\r|\n/).entries()) {
    const line = raw
      .replace(/#.*$/, "")
      .replace(/^\uFEFF/, "")
      .trim();
    if (line === "") continue;
    const point = pointOf(line);
    if (point === null && points.length === 0 && !headed && isHeader(line)) {
      headed = true;
      continue;
    }
    if (point === null) {
      throw new FaultError(
        "thrust-curve-line",
        `Line ${i + 1} of the thrust curve is not a time and a thrust: “${line.slice(0, 40)}”.`,
        "Write time in s and thrust in N, such as 0.03,4.0 or 0.03 4.0; 0,03;4,0 will do too.",
      );
    }
    points.push(point);
    lines.push(i + 1);
  }
  const fault = thrustCurveFault(points, (at) => `Line ${lines[at]}`);
  if (fault) throw new FaultError(fault.code, fault.cause, fault.remedy);
  return points[0][0] > 0 ? [[0, 0], ...points] : points;
}

/**
 * What keeps points from being a thrust curve: fewer than two or more than 2000, a number that is not finite,
 * a time before ignition, times that do not increase, negative thrust, no thrust at all, no zero at the end.
 * @param nameOf what a person calls the point at an index, to begin a sentence: "Line 5"
 * @returns null when nothing does
 */
export function thrustCurveFault(points: ThrustCurve, nameOf: (at: number) => string): CurveFault | null {
  if (points.length < 2) {
    return {
      code: "thrust-curve-short",
      cause: `The thrust curve has ${points.length === 0 ? "no points" : "one point"}.`,
      remedy: "It needs at least two lines, each with a time in s and a thrust in N.",
    };
  }
  if (points.length > MOST_POINTS) {
    return {
      code: "thrust-curve-long",
      cause: `The thrust curve has ${points.length} points.`,
      remedy: `Thin it to ${MOST_POINTS} or fewer.`,
    };
  }
  for (const [i, [t, f]] of points.entries()) {
    const before = points[i - 1];
    if (!(Number.isFinite(t) && Number.isFinite(f))) {
      return fault("number", `${nameOf(i)} of the thrust curve is not two numbers.`, "Type time and thrust.");
    }
    if (t < 0) {
      return fault(
        "time",
        `${nameOf(i)} of the thrust curve is at ${t} s, before ignition.`,
        "Count time from ignition, from 0 on.",
      );
    }
    if (before && t <= before[0]) {
      return fault(
        "order",
        `${nameOf(i)} of the thrust curve is at ${t} s, which is not after the ${before[0]} s before it.`,
        "Put the points in order of time, each time once.",
      );
    }
    if (f < 0) {
      return fault(
        "negative",
        `${nameOf(i)} of the thrust curve has a thrust of ${f} N.`,
        "A motor does not pull: take the zero of the force gauge out, and write 0 or more.",
      );
    }
  }
  if (!points.some(([, f]) => f > 0)) {
    return fault("none", "The thrust curve is 0 throughout.", "Give the thrust in N.");
  }
  const [lastT, lastF] = lastOf(points);
  if (lastF !== 0) {
    return fault(
      "end",
      `${nameOf(points.length - 1)} of the thrust curve, the last, still has a thrust of ${lastF} N at ${lastT} s.`,
      "Add a last line with the time at which the thrust is 0.",
    );
  }
  return null;
}

/** A curve as text that `readThrustCurve` reads back to the same points. */
export function thrustCurveText(curve: ThrustCurve): string {
  return ["time s,thrust N", ...curve.map(([t, f]) => `${t},${f}`), ""].join("\n");
}

function fault<Code extends string>(code: Code, cause: string, remedy: string) {
  return { code: `thrust-curve-${code}` as const, cause, remedy };
}

function pointOf(line: string): ThrustPoint | null {
  const bySpace = /^[^\s;]*[^\s;,] +[^\s;,][^\s;]*$/.test(line);
  const byComma = !bySpace && !/[;\t]/.test(line);
  const cells = line.split(bySpace ? / +/ : byComma ? "," : /[;\t]/).map((cell) => cell.trim());
  while (cells.length > 2 && cells.at(-1) === "") cells.pop();
  const [t, f, ...more] = cells.map((cell) => (byComma ? cell : cell.replace(",", ".")));
  if (t === undefined || f === undefined || more.length > 0 || !NUMBER.test(t) || !NUMBER.test(f))
    return null;
  return [Number(t), Number(f)];
}

/** Words only: a line that holds a number is meant as a point. */
function isHeader(line: string): boolean {
  return line.split(/[,;\t]/).every((cell) => Number.isNaN(Number.parseFloat(cell.trim().replace(",", "."))));
}
