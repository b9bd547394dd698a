import { compareShot } from "../compare/compare-shot.ts";
import { isOfMargins } from "../launchers/margin-notices.ts";
import { predictLaunch } from "../predict/predict-shot.ts";
import { isImpossible } from "../results/input-notices.ts";
import type { ShotPrediction, ShotResult } from "../results/shot-result.ts";
import type { ClipFacts } from "../session/clip-facts.ts";
import { type FilmedShot, filmedShot } from "../session/filmed-shot.ts";
import { measurementFaults } from "../session/input-faults.ts";
import { type LaunchInputs, launchInputs } from "../session/launch-inputs.ts";
import type { Session } from "../session/schema.ts";
import { altimeterCheck } from "./altimeter-check.ts";
import { margins } from "./margins.ts";
import { measureMotion, type QuickStart } from "./measure-motion.ts";
import { measuringSetUp } from "./measuring-set-up.ts";
import { withReading } from "./residual-reading.ts";
import type { DrawingRequest } from "./systematic-parts.ts";

/**
 * Everything Loftmark can say of one shot from the session and the facts of its clip: measured motion,
 * model prediction and their comparison. A part whose inputs are missing is null, and the notices say what
 * is missing and what to do.
 * @param facts null when the clip is missing or was not inspected; a clock by capture rate does not need it
 * @param asked draws all inputs, that many times, to check the uncertainty
 * @throws RangeError when the session has no such shot: the caller's bug
 */
export function measureShot(
  session: Session,
  shotId: string,
  facts: ClipFacts | null,
  asked: DrawingRequest | null = null,
): ShotResult {
  const shot = session.shots.find((one) => one.id === shotId);
  if (shot === undefined) throw new RangeError(`no shot "${shotId}"`);
  const launch = launchInputs(session, shot);
  return measureShotFrom(filmedShot(session, shot), launch, facts, predictLaunch(launch), null, asked).result;
}

/**
 * As measureShot, of a shot resolved and with a prediction made before and, where given, from where an
 * earlier measurement settled.
 */
export function measureShotFrom(
  filmed: FilmedShot,
  launch: LaunchInputs,
  facts: ClipFacts | null,
  predicted: ShotPrediction,
  start: QuickStart | null,
  asked: DrawingRequest | null = null,
): { readonly result: ShotResult; readonly quickStart: QuickStart | null } {
  const { setUp, notices } = measuringSetUp(filmed, facts);
  const measured =
    setUp === null
      ? { measurement: null, notices: [], quickStart: null }
      : measureMotion(setUp, start, asked);
  const withMargins =
    measured.measurement === null
      ? { measurement: null, notices: [] }
      : margins(launch, measured.measurement);
  const altimeter = measurementFaults(filmed).some(isImpossible)
    ? { quantities: {}, notices: [] }
    : altimeterCheck(filmed.shot.altimeter, launch, withMargins.measurement);
  const measurement = withMargins.measurement && {
    ...withMargins.measurement,
    quantities: { ...withMargins.measurement.quantities, ...altimeter.quantities },
  };
  const { prediction } = predicted;
  // Where the shot was measured, the measurement speaks for the margins; the model's own
  // would only say it again.
  const ofModel = predicted.notices.filter((notice) => measurement === null || !isOfMargins(notice));
  const comparison =
    measurement !== null && prediction !== null
      ? withReading(
          compareShot(measurement, prediction),
          launch,
          measurement,
          prediction,
          start === null ? undefined : (start.reading ?? null),
        )
      : null;
  const result = {
    shotId: filmed.shot.id,
    measurement,
    prediction,
    comparison,
    notices: [...notices, ...measured.notices, ...withMargins.notices, ...altimeter.notices, ...ofModel],
  };
  const quickStart = measured.quickStart && { ...measured.quickStart, reading: comparison?.reading ?? null };
  return { result, quickStart };
}
