import type { BodyAxis, PlaneMark } from "../kinematics/body-shape.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { LensData, Scale, Session, Shot } from "../session/schema.ts";
import { type MeasuringSetUp, pictureSize } from "./measuring-set-up.ts";
import { pictureOnPlane } from "./picture-map-of.ts";
import { planeMarks } from "./plane-marks.ts";
import type { BudgetLine } from "./shot-result.ts";

/** An input that is common to all marks, moved by its standard uncertainty: the marks and axis that it would have given. */
export interface Disturbance {
  readonly source: BudgetLine["source"];
  at(sign: 1 | -1): { readonly marks: readonly PlaneMark[]; readonly axis: BodyAxis };
}

type Pair = readonly [number, number];

/**
 * Every systematic input of a shot, one standard uncertainty at a time: each pick and length of the scale, plumb and level,
 * known points, setting, lens, clock rate, shutter, centre of gravity. Inputs are independent; correlated ones (the lens's terms)
 * are moved along the columns of the root of their covariance. Each is done to the document itself, so no formula is written twice.
 */
export function disturbances(
  session: Session,
  shot: Shot,
  facts: ClipFacts | null,
  setUp: MeasuringSetUp,
): readonly Disturbance[] {
  const byDocument = (
    source: Disturbance["source"],
    change: (sign: 1 | -1) => { readonly session?: Session; readonly shot?: Shot },
  ): Disturbance => ({
    source,
    at(sign) {
      const changed = change(sign);
      const { plane } = pictureOnPlane(changed.session ?? session, changed.shot ?? shot, pictureSize(facts));
      if (plane === null) return setUp;
      const { clock, pointIds, sources, steadying } = setUp;
      return { marks: planeMarks(pointIds, sources, plane, clock, steadying.shake).marks, axis: setUp.axis };
    },
  });
  const ofShot = (source: Disturbance["source"], patch: (sign: 1 | -1) => Partial<Shot>) =>
    byDocument(source, (sign) => ({ shot: { ...shot, ...patch(sign) } }));
  return [
    ...(shot.control === undefined ? rodInputs(shot, ofShot) : controlInputs(shot, ofShot)),
    ...lensInputs(session, shot, byDocument),
    ...clockInputs(session, shot, setUp),
    ...axisInputs(setUp),
  ];
}

type OfShot = (source: Disturbance["source"], patch: (sign: 1 | -1) => Partial<Shot>) => Disturbance;

function rodInputs(shot: Shot, ofShot: OfShot): readonly Disturbance[] {
  const inputs: Disturbance[] = [];
  const rod = (one: Scale, put: (changed: Scale) => Partial<Shot>) => {
    inputs.push(
      ofShot("scale", (sign) =>
        put({ ...one, rodM: { ...one.rodM, value: one.rodM.value + sign * one.rodM.u } }),
      ),
    );
    for (const end of ["a", "b"] as const) {
      for (const axis of [0, 1] as const) {
        inputs.push(ofShot("scale", (sign) => put({ ...one, [end]: moved(one[end], axis, sign * one.uPx) })));
      }
    }
  };
  if (shot.scale !== null) rod(shot.scale, (scale) => ({ scale }));
  (shot.rods ?? []).forEach((one, at) => {
    rod(one, (changed) => ({ rods: (shot.rods ?? []).with(at, changed) }));
  });
  const { plumb, level, setting } = shot;
  if (plumb !== null) {
    // Only the direction counts: one end moved across by both ends' u together, and the line's own lean.
    inputs.push(
      ofShot("plumb", (sign) => ({
        plumb: { ...plumb, bottom: moved(plumb.bottom, 0, sign * Math.SQRT2 * plumb.uPx) },
      })),
    );
    inputs.push(
      ofShot("plumb", (sign) => ({
        plumb: { ...plumb, bottom: turned(plumb.bottom, plumb.top, sign * plumb.hangRad) },
      })),
    );
  }
  if (level !== undefined) {
    inputs.push(
      ofShot("plumb", (sign) => ({
        level: { ...level, right: moved(level.right, 1, sign * Math.SQRT2 * level.uPx) },
      })),
    );
    inputs.push(
      ofShot("plumb", (sign) => ({
        level: { ...level, right: turned(level.right, level.left, sign * level.tiltRad) },
      })),
    );
  }
  if (plumb === null && level === undefined) inputs.push(unplumbed(ofShot));
  if (setting !== undefined) {
    for (const name of ["distanceM", "nearerM", "turnRad"] as const) {
      const input = setting[name];
      inputs.push(
        ofShot("plane", (sign) => ({
          setting: { ...setting, [name]: { ...input, value: input.value + sign * input.u } },
        })),
      );
    }
  }
  return inputs;
}

const UNPLUMBED_U = 0.0175; // rad, as where the roll falls back to the picture's own edge

/** No plumb: the picture's edge stands for the vertical, and is tilted as a line of a kilometre of pixels would be. */
function unplumbed(ofShot: OfShot): Disturbance {
  const length = 1e6;
  return ofShot("plumb", (sign) => ({
    plumb: {
      top: [0, 0],
      bottom: [-length * Math.sin(sign * UNPLUMBED_U), length * Math.cos(sign * UNPLUMBED_U)],
      uPx: 1e-6,
      hangRad: 0,
    },
  }));
}

function controlInputs(shot: Shot, ofShot: OfShot): readonly Disturbance[] {
  const { control } = shot;
  if (control === undefined) return [];
  return control.points.flatMap((point, at) => {
    const put = (changed: typeof point): Partial<Shot> => ({
      control: { ...control, points: control.points.with(at, changed) },
    });
    return [
      ofShot("plane", (sign) => put({ ...point, at: moved(point.at, 0, sign * control.uPx) })),
      ofShot("plane", (sign) => put({ ...point, at: moved(point.at, 1, sign * control.uPx) })),
      ofShot("plane", (sign) => put({ ...point, xM: point.xM + sign * control.uM })),
      ofShot("plane", (sign) => put({ ...point, yM: point.yM + sign * control.uM })),
    ];
  });
}

function lensInputs(
  session: Session,
  shot: Shot,
  byDocument: (
    source: Disturbance["source"],
    change: (sign: 1 | -1) => { readonly session: Session },
  ) => Disturbance,
): readonly Disturbance[] {
  const camera = session.cameras.find((one) => one.id === shot.cameraId);
  const lens = camera?.lens;
  if (lens === undefined) return [];
  const withLens = (changed: LensData): Session => ({
    ...session,
    cameras: session.cameras.map((one) => (one.id === shot.cameraId ? { ...one, lens: changed } : one)),
  });
  return rootColumns(lens.covariance, 8).map((column) =>
    byDocument("lens", (sign) => {
      const by = (k: number) => sign * (column[k] as number);
      return {
        session: withLens({
          ...lens,
          focalPx: lens.focalPx + by(0),
          centrePx: [lens.centrePx[0] + by(1), lens.centrePx[1] + by(2)],
          k1: lens.k1 + by(3),
          k2: lens.k2 + by(4),
          k3: lens.k3 + by(5),
          p1: lens.p1 + by(6),
          p2: lens.p2 + by(7),
        }),
      };
    }),
  );
}

/** Columns of L with C = L Lᵀ for a covariance that may hold zeros; columns of held terms are left out. */
function rootColumns(covariance: readonly number[], n: number): readonly (readonly number[])[] {
  const left = [...covariance];
  const columns: number[][] = [];
  for (let k = 0; k < n; k++) {
    const pivot = left[k * n + k] as number;
    if (!(pivot > 1e-14 * Math.max(...covariance.map(Math.abs), Number.MIN_VALUE))) continue;
    const column = Array.from({ length: n }, (_, i) => (left[i * n + k] as number) / Math.sqrt(pivot));
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        left[i * n + j] = (left[i * n + j] as number) - (column[i] as number) * (column[j] as number);
      }
    }
    columns.push(column);
  }
  return columns;
}

function clockInputs(session: Session, shot: Shot, setUp: MeasuringSetUp): readonly Disturbance[] {
  const { clock, marks, sources, axis } = setUp;
  const inputs: Disturbance[] = [
    {
      source: "clock",
      at(sign) {
        const stretch = 1 + sign * clock.clock.relativeU;
        return { marks: marks.map((mark) => ({ ...mark, timeS: mark.timeS * stretch })), axis };
      },
    },
  ];
  const readoutU = session.cameras.find((one) => one.id === shot.cameraId)?.readoutS?.u ?? 0;
  if (readoutU > 0) {
    inputs.push({
      source: "shutter",
      at: (sign) => ({
        marks: marks.map((mark, i) => {
          const from = sources[i] as { x: number; y: number };
          const byRow = clock.clock.rowFraction(clock.rowOf(from.x, from.y));
          return { ...mark, lagS: (mark.lagS ?? 0) + sign * readoutU * byRow };
        }),
        axis,
      }),
    });
  }
  return inputs;
}

function axisInputs({ marks, axis, axisU }: MeasuringSetUp): readonly Disturbance[] {
  return [
    {
      source: "centre of gravity",
      at: (sign) => ({ marks, axis: { ...axis, alongM: axis.alongM + sign * axisU.alongM } }),
    },
    {
      source: "centre of gravity",
      at: (sign) => ({ marks, axis: { ...axis, aboveM: axis.aboveM + sign * axisU.aboveM } }),
    },
  ];
}

function moved(at: Pair, axis: 0 | 1, by: number): [number, number] {
  return axis === 0 ? [at[0] + by, at[1]] : [at[0], at[1] + by];
}

function turned(at: Pair, about: Pair, byRad: number): [number, number] {
  const [dx, dy] = [at[0] - about[0], at[1] - about[1]];
  const [cos, sin] = [Math.cos(byRad), Math.sin(byRad)];
  return [about[0] + cos * dx - sin * dy, about[1] + sin * dx + cos * dy];
}
