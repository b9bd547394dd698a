import {
  type DropCheck,
  type DropInput,
  type DropRefusal,
  dropCheck,
  fallPerFrame2,
} from "../clock/drop-check.ts";
import type { PathMark } from "../clock/dropped-frames.ts";
import { frameClock, type Repeats } from "../clock/frame-clock.ts";
import type { PlaneMark } from "../kinematics/body-shape.ts";
import { ok, type Result, refuse } from "../quantity/result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import type { FilmedShot } from "../session/filmed-shot.ts";
import type { Clock, Mark } from "../session/schema.ts";
import { statedRateAt } from "./assumed.ts";
import type { RateError } from "./clock-check.ts";
import { errorKey } from "./common-error.ts";
import { type InputState, marksAt, statedInputs } from "./input-state.ts";
import { STEPS_IN_U } from "./moved-results.ts";
import { pictureInputs } from "./picture-inputs.ts";
import { lensOutOf, pictureOnPlane } from "./picture-map-of.ts";
import { readoutOf } from "./row-readout.ts";
import type { SeenShot } from "./seen-shot.ts";
import { steadiedPicks } from "./steadied-picks.ts";
import { steadying } from "./steadying.ts";

/** What a dropped object says of the capture rate, and the errors that rests on. */
export interface DropRate {
  readonly check: DropCheck;
  readonly errors: readonly RateError[];
}

const NO_AXIS = { forward: 0, aft: 0, alongM: 0, aboveM: 0 }; // a dropped object has no pitch
const ROUNDS = 6; // the rate enters its own finding by the rows' lag alone, a few parts in a thousand

/** The repeats and gaps of a clip, whichever clock it has. */
export function frameFaults(clock: Clock | null): {
  readonly repeats: Repeats | null;
  readonly gaps: Extract<Clock, { kind: "capture-rate" }>["gaps"];
} {
  return {
    repeats: clock?.repeats ?? null,
    gaps: clock?.kind === "capture-rate" ? clock.gaps : undefined,
  };
}

/**
 * The capture rate by one dropped object: its marks brought to the flight plane and to frames that the camera
 * took exactly as an airframe's are (lens, shake, turn or known points, repeats, gaps, late rows), and fitted
 * there. What plane and rows bring to its u follows from moving each of their inputs.
 * @param marks of the object, by frame
 * @param facts of a clip of the same camera; without them a rolling shutter cannot be allowed for
 * @returns null where the shot has no plane: that is worded where the shot itself is measured
 */
export function dropRate(
  filmed: FilmedShot,
  marks: readonly Mark[],
  facts: ClipFacts | null,
  conditions: Pick<DropInput, "gravity" | "ball">,
): Result<DropRate, DropRefusal> | null {
  const repeated = new Set(filmed.shot.clock?.repeats?.frames);
  const sources = marks.filter(({ frame }) => !repeated.has(frame)); // they show no instant of their own
  const isLate = filmed.camera?.readoutS !== undefined && facts !== null;
  let rateHz = isLate ? firstGuessHz(filmed.shot.clock, sources) : 1;
  let found: { readonly seen: SeenShot; readonly check: DropCheck } | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const seen = seenAtRate(filmed, sources, facts, rateHz);
    const path = seen && pathAt(statedInputs(seen.shot, seen), seen, rateHz);
    if (seen === null || path === null) return null;
    if (path.some(({ frame }, i) => i > 0 && frame <= (path[i - 1] as PathMark).frame)) {
      return refuse("not-falling"); // it outruns the rows as they are read
    }
    const check = dropCheck({ marks: path, scale: { value: 1, u: 0 }, plumbRad: 0, ...conditions });
    if (!check.ok) return check;
    found = { seen, check: check.value };
    const next = check.value.captureRateHz.value;
    if (!isLate || Math.abs(next / rateHz - 1) < 1e-9) break;
    rateHz = next;
  }
  if (found === null) return null;
  const { seen, check } = found;
  const ofPicture = pictureErrors(filmed, seen, rateHz);
  if (ofPicture === null) return null;
  const { parts } = check;
  const own = `drop of ${sources[0]?.pointId} in ${filmed.shot.id}`;
  const errors = [
    ...ofPicture,
    { key: own, relative: parts.marks },
    { key: "gravity", relative: parts.gravity },
    { key: `drag of the dropped object ${JSON.stringify(filmed.shot.ball)}`, relative: parts.drag },
  ].filter(({ relative }) => relative !== 0);
  const { value } = check.captureRateHz;
  const u = value * Math.hypot(...errors.map(({ relative }) => relative));
  return ok({ check: { ...check, captureRateHz: { value, u } }, errors });
}

/** Only where rows are late does the rate enter its own finding; a stated one that cannot be is no start. */
function firstGuessHz(clock: Clock | null, [first]: readonly Mark[]): number {
  const stated = statedRateAt(clock, first?.frame ?? 0)?.value ?? 0;
  return stated > 0 && Number.isFinite(stated) ? stated : 1;
}

/** The dropped object as it would be seen with a clock of this rate; null without a plane. */
function seenAtRate(
  filmed: FilmedShot,
  sources: readonly Mark[],
  facts: ClipFacts | null,
  rateHz: number,
): SeenShot | null {
  const { camera } = filmed;
  const lens = lensOutOf(camera?.lens);
  const still = steadying(filmed, lens, facts);
  const { shot } = steadiedPicks(filmed.shot, lens, still.shake);
  const picturePx = facts === null ? null : ([facts.width, facts.height] as const);
  const { plane } = pictureOnPlane(shot, camera?.lens, picturePx);
  if (plane === null) return null;
  const { readout, rowOf } = readoutOf(camera?.readoutS, facts);
  const captureRateHz = { value: rateHz, u: 0 };
  const detail = { ...frameFaults(filmed.shot.clock), readout };
  const clock = frameClock({ kind: "capture-rate", captureRateHz, ...detail }, null);
  if (!clock.ok) throw new Error(`dropRate: ${clock.code}`); // a clock by capture rate refuses nothing
  const pointIds = [...new Set(sources.map(({ pointId }) => pointId))];
  const timing = { clock: clock.value, rowOf };
  return {
    filmed,
    shot,
    picturePx,
    clock: timing,
    plane,
    steadying: still,
    axis: NO_AXIS,
    pointIds,
    sources,
  };
}

/** Places in metres, y down, by the frames the camera took until the row was read; null off the plane. */
function pathAt(state: InputState, seen: SeenShot, rateHz: number): readonly PathMark[] | null {
  const placed = marksAt(state, seen);
  return placed === null ? null : placed.marks.map((mark) => pathMark(mark, rateHz));
}

function pathMark({ timeS, lagS, x, y, u }: PlaneMark, rateHz: number): PathMark {
  return { frame: (timeS + (lagS ?? 0)) * rateHz, x, y: -y, u };
}

/**
 * What each input of the picture does to the rate: half of what it does to the acceleration, the other way.
 * Null where an input cannot be moved at all.
 */
function pictureErrors(filmed: FilmedShot, seen: SeenShot, rateHz: number): readonly RateError[] | null {
  const stated = statedInputs(seen.shot, seen);
  const held = statedInputs(filmed.shot, seen);
  const fallAt = (state: InputState) => {
    const path = pathAt(state, seen, rateHz);
    const fall = path === null ? 0 : fallPerFrame2(path, 0).value;
    return fall > 0 ? Math.log(fall) : null;
  };
  const here = fallAt(stated);
  if (here === null) return null;
  const errors: RateError[] = [];
  for (const input of pictureInputs(seen)) {
    let relative: number | null = null;
    for (const z of STEPS_IN_U) {
      const aside = fallAt(input.move(stated, z));
      if (aside === null) continue;
      relative = -(aside - here) / (2 * z);
      break;
    }
    if (relative === null) return null;
    errors.push({ key: errorKey(held, input.move(held, 1)), relative });
  }
  return errors;
}
