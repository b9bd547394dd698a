import type { PlaneMark } from "../kinematics/body-shape.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import type { Measured } from "../quantity/measured.ts";
import { SCALE_NOTICES } from "../results/notices/scale-notices.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { SizeCheck } from "../results/shot-result.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Mark, Point } from "../session/schema.ts";
import { type InputState, marksAt, statedInputs } from "./input-state.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";
import { movedResults } from "./moved-results.ts";
import { systematicInputs } from "./systematic-inputs.ts";

const FRAMES = 40; // those the inputs are moved for: what they do to a distance changes slowly over a clip

/**
 * 1, of the distance. An airframe yawed by ψ out of the plane looks shorter by 1 - cos ψ; with ψ normal and
 * 3° the root mean square of that is √3 · ψ²/2 = 0.24 %. Common practice, no source.
 */
const ASKEW_U = (Math.sqrt(3) * ((3 * Math.PI) / 180) ** 2) / 2;
const DIFFERS_IN_U = 2.5; // one honest shot in eighty

const MOST_LIKE = 0.9; // correlation of neighbours beyond which a mean is as good as a few of its values

/** One frame that shows both points: where in the set-up's marks, and m between them. */
interface Seen {
  readonly forward: number;
  readonly aft: number;
  readonly apartM: number;
}

/**
 * The distance between the two points of the pitch reference line as the footage shows it, beside the one
 * that was taped on the airframe: a check of the scale where the flight is, which no rod beside it gives. Its
 * u is that of the mean over the marks that the fit kept, with their lag-1 correlation r between frames
 * (u² = s²/n · (1 + r)/(1 - r), AR(1)), of every input of the picture, of the hand marks that followed ones
 * go by, and of an airframe that does not lie in the plane.
 * @param setAside marks of the set-up that the fit left out
 * @returns null where nothing was taped, or fewer than two frames show both points
 */
export function sizeCheck(setUp: MeasuringSetUp, setAside: readonly PlaneMark[]): SizeCheck | null {
  const statedM = tapedM(setUp.filmed);
  if (statedM === null) return null;
  const all = framesWithBoth(setUp, setAside);
  if (all.length < 2) return null;
  const value = mean(all.map(({ apartM }) => apartM));
  const u = Math.hypot(uOfMean(all.map(({ apartM }) => apartM)), value * ASKEW_U, inputsU(setUp, all));
  const [from, toward] = [setUp.pointIds[setUp.axis.forward], setUp.pointIds[setUp.axis.aft]];
  return { pointIds: [from as string, toward as string], seenM: { value, u }, statedM };
}

/** What to doubt where footage and tape differ. */
export function sizeNotices(check: SizeCheck | null, { points, units }: FilmedShot): readonly ShotNotice[] {
  if (check === null) return [];
  const { seenM, statedM } = check;
  const difference = seenM.value - statedM.value;
  if (Math.abs(difference) < DIFFERS_IN_U * Math.hypot(seenM.u, statedM.u)) return [];
  return [SCALE_NOTICES["size-differs"](sizeSays(check, points, units), difference / statedM.value)];
}

/** "nose and tail are 0.4113 ± 0.0012 m apart in the footage, 0.4120 ± 0.0005 m by tape" */
export function sizeSays(
  { pointIds, seenM, statedM }: SizeCheck,
  points: readonly Pick<Point, "id" | "name">[],
  units: UnitSet,
): string {
  const names = pointIds.map((id) => points.find((point) => point.id === id)?.name ?? id);
  const [seen, stated] = [seenM, statedM].map((one) => showMeasured(one, "m", units).text);
  return `${names.join(" and ")} are ${seen} apart in the footage, ${stated} by tape`;
}

/** m between the two points of the pitch reference line, as taped: directly, or by the place of each. */
function tapedM({ airframe: { centreOfGravity: cg }, points }: FilmedShot): Measured | null {
  if (cg === null) return null;
  if (cg.apartM != null) return cg.apartM;
  const [a, b] = [cg.fromPointId, cg.towardPointId].map((id) => points.find((one) => one.id === id)?.body);
  if (a == null || b == null) return null;
  const [dx, dy] = [a.forwardM.value - b.forwardM.value, a.upM.value - b.upM.value];
  const value = Math.hypot(dx, dy);
  if (!(value > 0)) return null;
  const along = Math.hypot(a.forwardM.u, b.forwardM.u) * dx;
  const aside = Math.hypot(a.upM.u, b.upM.u) * dy;
  return { value, u: Math.hypot(along, aside) / value };
}

function framesWithBoth({ marks, axis }: MeasuringSetUp, setAside: readonly PlaneMark[]): readonly Seen[] {
  const key = (frame: number, point: number) => `${frame} ${point}`;
  const left = new Set(setAside.map(({ frame, point }) => key(frame, point)));
  const at = new Map(marks.map(({ frame, point }, i) => [key(frame, point), i]));
  return marks
    .flatMap((mark, forward) => {
      const [own, other] = [key(mark.frame, axis.forward), key(mark.frame, axis.aft)];
      const aft = at.get(other);
      if (mark.point !== axis.forward || aft === undefined || left.has(own) || left.has(other)) return [];
      const { x, y } = marks[aft] as (typeof marks)[number];
      return [{ frame: mark.frame, forward, aft, apartM: Math.hypot(mark.x - x, mark.y - y) }];
    })
    .sort((a, b) => a.frame - b.frame);
}

/** m, standard uncertainty of the mean of values in order of time whose errors may last. */
function uOfMean(values: readonly number[]): number {
  const centre = mean(values);
  const off = values.map((value) => value - centre);
  const squares = off.reduce((sum, one) => sum + one * one, 0);
  if (squares === 0) return 0;
  const products = off.slice(1).reduce((sum, one, i) => sum + one * (off[i] as number), 0);
  const r = Math.min(MOST_LIKE, Math.max(0, products / squares));
  return Math.sqrt((squares / (values.length - 1) / values.length) * ((1 + r) / (1 - r)));
}

/** m, what all inputs that the marks share bring to the mean distance. */
function inputsU(setUp: MeasuringSetUp, all: readonly Seen[]): number {
  const every = Math.max(1, Math.floor(all.length / FRAMES));
  const some = all.filter((_, i) => i % every === 0);
  const source = (i: number) => setUp.sources[i] as Mark;
  const sources = some.flatMap(({ forward, aft }) => [source(forward), source(aft)]);
  const thinned = { ...setUp, sources };
  const meanAt = (state: InputState) => {
    const placed = marksAt(state, thinned)?.marks;
    if (placed === undefined) return null;
    return { apart: mean(some.map((_, i) => distance(placed[2 * i], placed[2 * i + 1]))) };
  };
  const stated = statedInputs(setUp.shot, setUp);
  const nominal = meanAt(stated);
  if (nominal === null) return 0;
  const moves = systematicInputs(setUp).map((input) => {
    const moved = movedResults((z) => meanAt(input.move(stated, z)), nominal);
    return moved === null
      ? Number.POSITIVE_INFINITY
      : Math.hypot(moved.first.apart ?? 0, (moved.second.apart ?? 0) / Math.SQRT2);
  });
  return Math.hypot(...moves);
}

interface Place {
  readonly x: number;
  readonly y: number;
}

function distance(a: Place | undefined, b: Place | undefined): number {
  return a === undefined || b === undefined ? Number.NaN : Math.hypot(a.x - b.x, a.y - b.y);
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
