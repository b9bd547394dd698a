import { airDensity } from "../launch/air.ts";
import { heightInDaysAir } from "../launch/vertical/barometric.ts";
import { speedFromApogee, terminalSpeed } from "../launch/vertical/vertical-shot.ts";
import { launcherModel } from "../launchers/launcher-models.ts";
import { createChance } from "../quantity/chance.ts";
import { showMeasured, type UnitSet } from "../quantity/display.ts";
import { elementAt } from "../quantity/known-element.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import { ALTIMETER_NOTICES } from "../results/notices/verdict-notices.ts";
import type { Measurement, QuantityName } from "../results/shot-result.ts";
import type { LaunchedShot, LaunchInputs } from "../session/launch-inputs.ts";
import type { Launcher, Shot } from "../session/schema.ts";
import { inputsByName } from "../uncertainty/inputs-by-name.ts";
import { aboveZero, propagate, zeroOrMore } from "../uncertainty/propagate.ts";
import { linearHolds, propagateByDraws } from "../uncertainty/propagate-by-draws.ts";

// below it, the path's bend in the air is worth more than the drag's own doubt
const LEAST_ANGLE = (80 * Math.PI) / 180;
const DRAWS = 10_000; // the interval's ends then scatter by 3 % of u
const SEED = 2533;
const APART_U = 2; // as for model and footage: beyond twice the combined u they differ

type Altimeter = NonNullable<Shot["altimeter"]>;
type Quantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

export interface AltimeterCheck {
  readonly quantities: Quantities;
  readonly notices: readonly ShotNotice[];
}

/**
 * Release speed from an altimeter's apogee on a near-vertical shot, independent of camera, clock and scale:
 * reading brought to the day's air, less the rise of the push, then v = v_t √(e^(2 g h/v_t²) − 1) up, over
 * the sine of the launch angle. First order where that holds (JCGM 101:2008, 8), else from draws of all
 * inputs. Without a drag area the speed is that of a climb without air: a lower bound. With a measured
 * release speed a notice says whether the two agree.
 * @param altimeter as the shot notes it; undefined where none was carried
 * @param measurement null when the clip gave none: the altimeter then speaks in a notice alone
 */
export function altimeterCheck(
  altimeter: Altimeter | undefined,
  launch: LaunchInputs,
  measurement: Measurement | null,
): AltimeterCheck {
  if (altimeter === undefined) return { quantities: {}, notices: [] };
  const { massKg, dragAreaM2 } = launch.airframe;
  const measured = measurement?.quantities ?? {};
  const angle = measured.launchAngle ?? launcherAngle(launch.launcher);
  if (angle !== null && angle.value < LEAST_ANGLE) {
    return only(ALTIMETER_NOTICES["altimeter-not-vertical"](showMeasured(angle, "rad").text));
  }
  if (massKg === null && dragAreaM2 != null) {
    return only(ALTIMETER_NOTICES["altimeter-no-mass"]());
  }
  if (!(altimeter.apogeeM.value > (measured.stroke?.value ?? 0))) {
    return only(ALTIMETER_NOTICES["altimeter-too-low"]());
  }
  const speed = speedOf(altimeter, launch, angle, measured.stroke ?? null);
  if (speed === null) {
    return only(ALTIMETER_NOTICES["altimeter-too-high"]());
  }
  return {
    quantities: { speedFromApogee: speed },
    notices: [saying(speed, measured.releaseSpeed ?? null, dragAreaM2 != null, launch.units)],
  };
}

function only(notice: ShotNotice): AltimeterCheck {
  return { quantities: {}, notices: [notice] };
}

function launcherAngle(launcher: Launcher | null): Measured | null {
  return launcher && launcherModel(launcher).directionRad(launcher);
}

function speedOf(
  { apogeeM, assumes }: Altimeter,
  { airframe, conditions }: LaunchedShot,
  angle: Measured | null,
  stroke: Measured | null,
): Quantity | null {
  const { massKg, dragAreaM2 } = airframe;
  const { temperatureK, airPressurePa } = conditions;
  const none: Measured = { value: 0, u: 0 };
  const upright: Measured = { value: Math.PI / 2, u: 0 };
  const inputs = [
    aboveZero("apogeeM", apogeeM),
    aboveZero("temperatureK", temperatureK),
    aboveZero("airPressurePa", airPressurePa),
    aboveZero("massKg", massKg ?? { value: 1, u: 0 }),
    zeroOrMore("dragAreaM2", dragAreaM2 ?? none),
    // A push measured backwards has no rise to take off.
    zeroOrMore("stroke", { value: Math.max(0, stroke?.value ?? 0), u: stroke?.u ?? 0 }),
    { name: "angle" as const, ...plain(angle ?? upright) },
  ];
  const model = inputsByName(inputs, (at) => {
    const height = assumes === "standard" ? heightInDaysAir(at.apogeeM, at.temperatureK) : at.apogeeM;
    const sine = Math.sin(at.angle);
    const terminal = terminalSpeed(at.massKg, at.dragAreaM2, airDensity(at.airPressurePa, at.temperatureK));
    const speed = speedFromApogee(Math.max(0, height - at.stroke * sine), terminal) / sine;
    return Number.isFinite(speed) ? speed : null;
  });
  const linear = propagate((values) => {
    const speed = model(values);
    return speed === null ? null : [speed];
  }, inputs);
  const drawn = propagateByDraws(model, inputs, createChance(SEED), DRAWS);
  if (!linear.ok || drawn === null) return null;
  const first: Measured = { value: elementAt(linear.value.values, 0), u: elementAt(linear.value.u, 0) };
  const air = dragAreaM2 ? "drag of the area entered" : "no drag, for no drag area is entered: a lower bound";
  const corrected =
    assumes === "standard"
      ? "reading brought to the day's temperature"
      : "the altimeter knew the day's temperature";
  const how = `from the altimeter's greatest height; ${corrected}; ${air}`;
  if (linearHolds(first, drawn)) return { ...first, unit: "m/s", how };
  const ends = `${drawn.low95.toPrecision(4)} to ${drawn.high95.toPrecision(4)} m/s`;
  return {
    value: drawn.value,
    u: drawn.u,
    unit: "m/s",
    how: `${how}; from draws of the inputs, skewed: 95 % lie in ${ends}`,
  };
}

function plain({ value, u }: Measured): Measured {
  return { value, u };
}

/** What the altimeter says beside the footage. */
function saying(speed: Quantity, filmed: Measured | null, dragKnown: boolean, units: UnitSet): ShotNotice {
  const bound = dragKnown ? "" : " at least, for the drag area is not known";
  const says = `The altimeter's greatest height means release at ${showMeasured(speed, "m/s", units).text}${bound}`;
  if (filmed === null) return ALTIMETER_NOTICES["altimeter-alone"](says, dragKnown);
  const off = speed.value - filmed.value;
  const combined = Math.hypot(speed.u, filmed.u);
  const inU = combined > 0 ? Math.abs(off) / combined : off === 0 ? 0 : Number.POSITIVE_INFINITY;
  const footage = `the footage says ${showMeasured(filmed, "m/s", units).text}`;
  const times = Number.isFinite(inU) ? ` (${inU.toFixed(1)} times their combined uncertainty)` : "";
  // A lower bound below the footage is no contradiction.
  if (inU <= APART_U || (!dragKnown && off < 0)) {
    const agree = inU <= APART_U ? `they agree${times}` : "which it does not contradict";
    return ALTIMETER_NOTICES["altimeter-agrees"](says, footage, agree, dragKnown);
  }
  return ALTIMETER_NOTICES["altimeter-differs"](says, footage, inU);
}
