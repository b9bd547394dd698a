import type { Measured } from "../quantity/measured.ts";
import { metresByPixels, metresPerPixel } from "../scale/picture-map.ts";
import type { LensData, Level, Plumb, Scale, Shot } from "../session/schema.ts";
import { CARRIED_M_PER_S, rodLength } from "./assumed.ts";
import { inBoth, ownUPx, sharedUPx } from "./carried-picks.ts";
import type { SystematicInput } from "./input-state.ts";
import type { BeyondInputs } from "./picture-plane.ts";
import type { SeenShot } from "./seen-shot.ts";

/**
 * What brings pixels onto the plane, and rows onto the clock: each pick and length of the scale, plumb and
 * level, known points, setting, lens, shutter. They are independent; correlated ones (the lens's terms) are
 * moved along the columns of the root of their covariance.
 */
export function pictureInputs(seen: SeenShot): readonly SystematicInput[] {
  const { shot, filmed } = seen;
  const { camera } = filmed;
  return [
    ...(shot.control === undefined ? rodInputs(seen) : controlInputs(seen)),
    ...beyondInputs(seen),
    ...lensInputs(camera?.lens),
    ...shutterInputs(camera?.readoutS?.u ?? 0),
    ...movementInputs(seen),
  ];
}

function ofShot(
  source: SystematicInput["source"],
  patch: (shot: Shot, z: number) => Partial<Shot>,
): SystematicInput {
  return { source, move: (state, z) => ({ ...state, shot: { ...state.shot, ...patch(state.shot, z) } }) };
}

function rodInputs({ shot, plane }: SeenShot): readonly SystematicInput[] {
  const inputs: SystematicInput[] = [];
  const rod = (
    { rodM, carried }: Scale,
    change: (shot: Shot, move: (rod: Scale) => Scale) => Partial<Shot>,
  ) => {
    const { assumed }: Measured = rodLength(rodM);
    const longer = ({ rodM }: Scale, z: number) => ({ ...rodM, value: plus(rodLength(rodM), z).value });
    inputs.push({
      ...ofShot("scale", (now, z) => change(now, (one) => ({ ...one, rodM: longer(one, z) }))),
      assumed: assumed === true,
    });
    for (const end of ["a", "b"] as const) {
      for (const axis of [0, 1] as const) {
        inputs.push(
          ofShot("scale", (now, z) =>
            change(now, (one) =>
              inBoth<Pick<Scale, "a" | "b">, Scale>(one, ({ [end]: at }) => ({
                [end]: moved(at, axis, z * sharedUPx(one)),
              })),
            ),
          ),
        );
        if (carried !== undefined)
          inputs.push(
            ofShot("scale", (now, z) =>
              change(now, (one) => ({ ...one, [end]: moved(one[end], axis, z * ownUPx(one)) })),
            ),
          );
      }
    }
  };
  if (shot.scale !== null)
    rod(shot.scale, (now, move) => ({ scale: now.scale === null ? null : move(now.scale) }));
  (shot.rods ?? []).forEach((one, at) => {
    rod(one, (now, move) => ({
      rods: (now.rods ?? []).map((one, i) => (i === at ? move(one) : one)),
    }));
  });
  // Where the picture's edge stands for plumb and level, they move nothing.
  if (plane.found.lineWeights.length > 0) inputs.push(...plumbInputs(shot));
  if (shot.setting !== undefined) {
    for (const name of ["distanceM", "nearerM", "turnRad"] as const) {
      inputs.push({
        ...ofShot("plane", ({ setting }, z) =>
          setting === undefined ? {} : { setting: { ...setting, [name]: plus(setting[name], z) } },
        ),
        assumed: shot.setting[name].assumed === true,
      });
    }
  }
  return inputs;
}

/**
 * Only the direction of a line counts: one end moved across by both ends' u together,
 * and the line's own lean.
 */
function plumbInputs({ plumb, level }: Shot): readonly SystematicInput[] {
  const inputs: SystematicInput[] = [];
  if (plumb !== null) {
    const change = (move: (now: Plumb, z: number) => Plumb) =>
      ofShot("plumb", ({ plumb: now }, z) => (now === null ? {} : { plumb: move(now, z) }));
    const both = (now: Plumb, bottom: (line: Pick<Plumb, "top" | "bottom">) => [number, number]) =>
      inBoth<Pick<Plumb, "top" | "bottom">, Plumb>(now, (line) => ({ bottom: bottom(line) }));
    inputs.push(
      change((now, z) => both(now, ({ bottom }) => moved(bottom, 0, z * Math.SQRT2 * sharedUPx(now)))),
      change((now, z) => both(now, ({ top, bottom }) => turned(bottom, top, z * now.hangRad))),
    );
    if (plumb.carried !== undefined)
      inputs.push(
        change((now, z) => ({ ...now, bottom: moved(now.bottom, 0, z * Math.SQRT2 * ownUPx(now)) })),
      );
  }
  if (level !== undefined) {
    const change = (move: (now: Level, z: number) => Level) =>
      ofShot("plumb", ({ level: now }, z) => (now === undefined ? {} : { level: move(now, z) }));
    const both = (now: Level, right: (line: Pick<Level, "left" | "right">) => [number, number]) =>
      inBoth<Pick<Level, "left" | "right">, Level>(now, (line) => ({ right: right(line) }));
    inputs.push(
      change((now, z) => both(now, ({ right }) => moved(right, 1, z * Math.SQRT2 * sharedUPx(now)))),
      change((now, z) => both(now, ({ left, right }) => turned(right, left, z * now.tiltRad))),
    );
    if (level.carried !== undefined)
      inputs.push(change((now, z) => ({ ...now, right: moved(now.right, 1, z * Math.SQRT2 * ownUPx(now)) })));
  }
  return inputs;
}

/** What rods, and lines, that contradict each other leave open; and how level an unplumbed camera stood. */
function beyondInputs({ plane, filmed }: SeenShot): readonly SystematicInput[] {
  const sources = { scale: "scale", plane: "plane", rollRad: "plumb", bend: "lens" } as const;
  const assumed = {
    scale: false,
    plane: true,
    rollRad: plane.found.lineWeights.length === 0,
    bend: filmed.camera?.lens === undefined,
  };
  return (Object.keys(sources) as (keyof BeyondInputs)[]).flatMap((name): SystematicInput[] => {
    const u = plane.found.beyond[name];
    if (u === 0) return [];
    return [
      {
        source: sources[name],
        assumed: assumed[name],
        move: (state, z) => ({
          ...state,
          beyond: { ...state.beyond, [name]: state.beyond[name] + z * u },
        }),
      },
    ];
  });
}

function controlInputs({ shot, plane }: SeenShot): readonly SystematicInput[] {
  type Known = NonNullable<Shot["control"]>["points"][number];
  const scatter = plane.found.points?.scatter ?? 1;
  const change = (
    at: number,
    move: (point: Known, control: NonNullable<Shot["control"]>, z: number) => Known,
  ) =>
    ofShot("plane", ({ control }, z) =>
      control === undefined
        ? {}
        : {
            control: {
              ...control,
              points: control.points.map((one, i) => (i === at ? move(one, control, z * scatter) : one)),
            },
          },
    );
  const picked = (at: number, axis: 0 | 1) =>
    change(at, (point, { uPx }, z) =>
      inBoth<Pick<Known, "at">, Known>(point, (place) => ({
        at: moved(place.at, axis, z * sharedUPx({ uPx, carried: point.carried })),
      })),
    );
  const found = (at: number, axis: 0 | 1) =>
    change(at, (point, { uPx }, z) => ({
      ...point,
      at: moved(point.at, axis, z * ownUPx({ uPx, carried: point.carried })),
    }));
  return (shot.control?.points ?? []).flatMap(({ carried }, at) => [
    picked(at, 0),
    picked(at, 1),
    ...(carried === undefined ? [] : [found(at, 0), found(at, 1)]),
    change(at, (point, { uM }, z) => ({ ...point, xM: point.xM + z * uM })),
    change(at, (point, { uM }, z) => ({ ...point, yM: point.yM + z * uM })),
  ]);
}

function lensInputs(lens: LensData | undefined): readonly SystematicInput[] {
  if (lens === undefined) return [];
  return rootColumns(lens.covariance, 8).map((column) => ({
    source: "lens",
    move: (state, z) => ({ ...state, lens: state.lens && bentBy(state.lens, column, z) }),
  }));
}

function bentBy(lens: LensData, column: readonly number[], z: number): LensData {
  const by = (k: number) => z * (column[k] as number);
  return {
    ...lens,
    focalPx: lens.focalPx + by(0),
    centrePx: [lens.centrePx[0] + by(1), lens.centrePx[1] + by(2)],
    k1: lens.k1 + by(3),
    k2: lens.k2 + by(4),
    k3: lens.k3 + by(5),
    p1: lens.p1 + by(6),
    p2: lens.p2 + by(7),
  };
}

/** Columns of L with C = L Lᵀ for a covariance that may hold zeros; columns of held terms are left out. */
function rootColumns(covariance: readonly number[], n: number): readonly (readonly number[])[] {
  const left = [...covariance];
  const stated = Array.from({ length: n }, (_, k) => covariance[k * n + k] as number);
  const columns: number[][] = [];
  for (let k = 0; k < n; k++) {
    const pivot = left[k * n + k] as number;
    // What rounding leaves of a variance is no variance of its own.
    if (!(pivot > 1e-12 * (stated[k] as number))) continue;
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

function shutterInputs(readoutU: number): readonly SystematicInput[] {
  if (readoutU === 0) return [];
  return [{ source: "shutter", move: (state, z) => ({ ...state, readoutS: state.readoutS + z * readoutU }) }];
}

/**
 * A movement taken out by the background: what it may be off by at its end, come together
 * evenly, and a camera that was carried and not only turned, in whose picture the flight then
 * moves against the background.
 */
function movementInputs({ steadying: { movement, shake }, clock: { clock }, plane, sources }: SeenShot) {
  const [first, last] = [movement?.frames[0], movement?.frames.at(-1)];
  const mark = sources.find(({ frame }) => shake?.at(frame) != null);
  if (movement === null || first === undefined || last === undefined || mark === undefined) return [];
  const lastsS = Math.abs(clock.timeOf(last.frame) - clock.timeOf(first.frame));
  const straight = plane.straighten([mark.x, mark.y]);
  const at = shake?.at(mark.frame)?.steady(straight) ?? straight;
  const metres = metresPerPixel(metresByPixels(plane.map, at));
  const followedMPerS = lastsS > 0 ? (metres * movement.inheritedPx) / lastsS : 0;
  const u = Math.hypot(CARRIED_M_PER_S, followedMPerS);
  return ([0, 1] as const).map(
    (axis): SystematicInput => ({
      source: "camera",
      assumed: followedMPerS < CARRIED_M_PER_S,
      move: (state, z) => ({ ...state, driftMPerS: moved(state.driftMPerS, axis, z * u) }),
    }),
  );
}

function plus<T extends { readonly value: number; readonly u: number }>(input: T, z: number): T {
  return { ...input, value: input.value + z * input.u };
}

function moved(at: readonly [number, number], axis: 0 | 1, by: number): [number, number] {
  return axis === 0 ? [at[0] + by, at[1]] : [at[0], at[1] + by];
}

function turned(
  at: readonly [number, number],
  about: readonly [number, number],
  byRad: number,
): [number, number] {
  const [dx, dy] = [at[0] - about[0], at[1] - about[1]];
  const [cos, sin] = [Math.cos(byRad), Math.sin(byRad)];
  return [about[0] + cos * dx - sin * dy, about[1] + sin * dx + cos * dy];
}
