import { airDensity } from "../launch/air.ts";
import {
  type AccelerationFit,
  accelerationStretch,
  fitAcceleration,
} from "../launch/on-board/fit-acceleration.ts";
import { fitHeight, type HeightFit, heightStretch } from "../launch/on-board/fit-height.ts";
import type { LogSample } from "../launch/on-board/log-noise.ts";
import { heightInDaysAir } from "../launch/vertical/barometric.ts";
import { launcherModel } from "../launchers/launcher-models.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { Result } from "../quantity/result.ts";
import type { Measurement } from "../results/shot-result.ts";
import type { LaunchInputs } from "../session/launch-inputs.ts";
import { inputsByName } from "../uncertainty/inputs-by-name.ts";
import { aboveZero, propagate, type UncertainInput } from "../uncertainty/propagate.ts";
import { LOG_NOTICES, type LogNotice } from "./log-notices.ts";
import type { OnBoardLog } from "./read-log.ts";

/** What a person says of a log beside its file. */
export interface LogTaken {
  /** Whether an altimeter took standard air or was told the day's temperature. */
  readonly assumes: "standard" | "day";
  /** s after release that are fitted; null for as far as usual. */
  readonly untilS: number | null;
}

/** What the log says of the shot. */
export interface LogReport {
  readonly of: OnBoardLog["of"];
  /** m/s; null with the refusal among the notices. */
  readonly releaseSpeed: Quantity | null;
  readonly dragAreaM2: (Measured & { readonly how: string }) | null;
  /** s on the log's own clock, at which the airframe left: where the video has its release. */
  readonly releaseS: Measured | null;
  /** Log minus footage, m/s, and that in combined standard uncertainties. */
  readonly against: { readonly difference: Measured; readonly inU: number } | null;
  readonly samples: readonly LogSample[];
  readonly fitted: readonly LogSample[];
  readonly notices: readonly LogNotice[];
}

const LEAST_ANGLE = (20 * Math.PI) / 180;
const GAIN_U = 0.01; // of a small accelerometer as bought, where nobody calibrated it; common practice, no source
const APART_U = 2; // as for model and footage
const BENT = 3; // times the scatter at rest, about the fit: not a thrown body

/**
 * Holds a log carried on board against the shot: release speed and drag area by least squares, with the
 * uncertainty of the readings' scatter, widened where errors last, and of angle, mass, air, wind, and the
 * scale of the sensor.
 * @param measurement of the shot's footage; null where there is none
 */
export function judgeLog(
  log: OnBoardLog,
  taken: LogTaken,
  launch: LaunchInputs,
  measurement: Measurement | null,
): LogReport {
  const nothing: LogReport = {
    of: log.of,
    releaseSpeed: null,
    dragAreaM2: null,
    releaseS: null,
    against: null,
    samples: log.samples,
    fitted: [],
    notices: [],
  };
  const refused = (notice: LogNotice): LogReport => ({ ...nothing, notices: [notice] });
  const { massKg } = launch.airframe;
  if (massKg === null) return refused(LOG_NOTICES["log-no-mass"]());
  const { launcher } = launch;
  const angle =
    measurement?.quantities.launchAngle ?? (launcher && launcherModel(launcher).directionRad(launcher));
  if (angle == null) return refused(LOG_NOTICES["log-no-angle"]());
  if (log.of === "height" && angle.value < LEAST_ANGLE) {
    return refused(LOG_NOTICES["log-low-angle"](showMeasured(angle, "rad", launch.units).text));
  }
  const fit = fittedTo(log, taken, sharedInputs(launch, massKg, angle, measurement));
  if (!fit.ok) return refused(refusalOf(fit.code, fit.numbers, launch.units));
  return reported(nothing, fit.value, launch, measurement);
}

interface Fitted {
  readonly speed: Measured;
  readonly drag: Measured;
  readonly releaseS: Measured;
  readonly scatter: number;
  readonly atRest: number;
  readonly fitted: readonly LogSample[];
}

type Shared = readonly UncertainInput<
  "massKg" | "temperatureK" | "airPressurePa" | "headwindMPerS" | "angleRad" | "riseM"
>[];

function sharedInputs(
  { conditions }: LaunchInputs,
  massKg: Measured,
  angle: Measured,
  measurement: Measurement | null,
): Shared {
  const stroke = measurement?.quantities.stroke ?? { value: 0, u: 0 };
  const { temperatureK, airPressurePa, headwindMPerS } = conditions;
  const sine = Math.sin(angle.value);
  return [
    aboveZero("massKg", massKg),
    aboveZero("temperatureK", temperatureK),
    aboveZero("airPressurePa", airPressurePa),
    { name: "headwindMPerS", ...headwindMPerS },
    { name: "angleRad", value: angle.value, u: angle.u },
    { name: "riseM", value: Math.max(0, stroke.value) * sine, u: stroke.u * sine },
  ];
}

function fittedTo(log: OnBoardLog, { assumes, untilS }: LogTaken, shared: Shared): Result<Fitted, string> {
  const own: UncertainInput<"groundShiftM" | "gain">[] =
    log.of === "height"
      ? [{ name: "groundShiftM", value: 0, u: 0 }]
      : [{ name: "gain", value: 1, u: GAIN_U, low: 0.1 }];
  const angleRad = elementAt(shared, 4).value;
  const heights = log.of === "height" ? heightStretch(log.samples, untilS) : null;
  const accelerations = log.of === "height" ? null : accelerationStretch(log.samples, angleRad, untilS);
  const stretch = heights ?? accelerations!;
  if (!stretch.ok) return stretch;
  type Fit = HeightFit | AccelerationFit;
  const fitAt = (inputs: readonly UncertainInput<string>[], values: readonly number[]): Result<Fit, string> =>
    inputsByName(inputs, (at: Readonly<Record<string, number>>): Result<Fit, string> => {
      const body = {
        massKg: at.massKg!,
        airDensity: airDensity(at.airPressurePa!, at.temperatureK!),
        headwindMPerS: at.headwindMPerS!,
        angleRad: at.angleRad!,
      };
      if (heights?.ok) {
        const scale = assumes === "standard" ? heightInDaysAir(1, at.temperatureK!) : 1;
        return fitHeight(heights.value, { ...body, riseM: at.riseM!, scale, groundShiftM: at.groundShiftM! });
      }
      if (accelerations?.ok) return fitAcceleration(accelerations.value, { ...body, gain: at.gain! });
      throw new RangeError("fittedTo: no stretch to fit");
    })(values);
  const centre = [...shared, ...own];
  const base = fitAt(
    centre,
    centre.map(({ value }) => value),
  );
  if (!base.ok) return base;
  const { u } = base.value;
  const ground = "groundU" in base.value ? base.value.groundU : 0;
  const inputs = centre.map((one) => (one.name === "groundShiftM" ? { ...one, u: ground } : one));
  const spread = propagate((values) => {
    const at = fitAt(inputs, values);
    return at.ok ? [at.value.speedMPerS, at.value.dragAreaM2, at.value.releaseS] : null;
  }, inputs);
  if (!spread.ok) return { ok: false, code: "not-settled", numbers: {} };
  const with2 = (i: number, value: number, own2: number): Measured => ({
    value,
    u: Math.hypot(own2, elementAt(spread.value.u, i)),
  });
  const fit = base.value;
  return {
    ok: true,
    value: {
      speed: with2(0, fit.speedMPerS, u.speedMPerS),
      drag: with2(1, fit.dragAreaM2, u.dragAreaM2),
      releaseS: with2(2, fit.releaseS, u.releaseS),
      scatter: "scatterM" in fit ? fit.scatterM : fit.scatterMPerS2,
      atRest: "groundScatterM" in fit ? fit.groundScatterM : fit.restScatterMPerS2,
      fitted: fit.fitted,
    },
  };
}

function reported(
  nothing: LogReport,
  { speed, drag, releaseS, scatter, atRest, fitted }: Fitted,
  { units }: LaunchInputs,
  measurement: Measurement | null,
): LogReport {
  const isHeight = nothing.of === "height";
  const unit = isHeight ? "m" : "m/s²";
  const how = isHeight
    ? "least squares of the log's heights against a thrown body's, no lift"
    : "the log's acceleration above rest, summed over the push; gain taken good to 1 %";
  const releaseSpeed: Quantity = { ...speed, unit: "m/s", how };
  const notices: LogNotice[] = [];
  if (scatter > BENT * Math.max(atRest, Number.MIN_VALUE)) {
    const said = (value: number) => showMeasured({ value, u: value / 20 }, unit, units);
    notices.push(
      LOG_NOTICES["log-not-followed"](
        `${said(scatter).value} ${said(scatter).symbol}`,
        `${said(atRest).value} ${said(atRest).symbol}`,
      ),
    );
  }
  if (drag.value < APART_U * drag.u) notices.push(LOG_NOTICES["log-drag-unseen"](dragSays(drag)));
  const filmed = measurement?.quantities.releaseSpeed ?? null;
  const told = `release at ${showMeasured(speed, "m/s", units).text}`;
  let against: LogReport["against"] = null;
  if (filmed === null) notices.push(LOG_NOTICES["log-alone"](told));
  else {
    const difference = { value: speed.value - filmed.value, u: Math.hypot(speed.u, filmed.u) };
    const inU = difference.value / difference.u;
    against = { difference, inU };
    const footage = `the footage ${showMeasured(filmed, "m/s", units).text}`;
    const tell = LOG_NOTICES[Math.abs(inU) > APART_U ? "log-differs" : "log-agrees"];
    notices.push(tell(told, footage, Math.abs(inU).toFixed(1)));
  }
  const howDrag = isHeight ? how : "what slows the airframe after release, of the stretch fitted";
  return {
    ...nothing,
    releaseSpeed,
    dragAreaM2: { ...drag, how: howDrag },
    releaseS,
    against,
    fitted,
    notices,
  };
}

/** "1.20 ± 0.06 dm²" */
export function dragSays({ value, u }: Measured): string {
  const shown = showMeasured({ value: 100 * value, u: 100 * u }, "1");
  return `${shown.text} dm²`;
}

function refusalOf(code: string, numbers: Readonly<Record<string, number>>, units: UnitSet): LogNotice {
  const [found, needed] = [numbers.samples ?? 0, numbers.needed ?? 0];
  switch (code) {
    case "no-ground":
    case "no-rest":
      return LOG_NOTICES["log-few"]("readings at rest before the launch", found, needed);
    case "few":
      return LOG_NOTICES["log-few"]("readings to fit", found, needed);
    case "no-flight":
      return LOG_NOTICES["log-nothing"](
        `No reading is ${showMeasured({ value: numbers.aboveM ?? 0, u: 0 }, "m", units).value} ${units === "SI" ? "m" : "ft"} above the ground.`,
      );
    case "no-push":
      return LOG_NOTICES["log-few"]("readings during the push", found, needed);
    case "no-release":
      return LOG_NOTICES["log-nothing"]("The log ends before the push does.");
    default:
      return LOG_NOTICES["log-nothing"]("No flight of a thrown body goes through these readings.");
  }
}
