import { airDensity } from "../launch/air.ts";
import { heightInDaysAir } from "../launch/barometric.ts";
import { aboveZero, propagate, type UncertainInput, zeroOrMore } from "../launch/propagate.ts";
import { linearHolds, propagateByDraws } from "../launch/propagate-by-draws.ts";
import { speedFromApogee, terminalSpeed } from "../launch/vertical-shot.ts";
import { createChance } from "../quantity/chance.ts";
import { showMeasured } from "../quantity/display.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { Notice } from "../quantity/notice.ts";
import type { Session, Shot } from "../session/schema.ts";
import type { Measurement, QuantityName } from "./shot-result.ts";

const LEAST_ANGLE = (80 * Math.PI) / 180; // below it, the path's bend in the air is worth more than the drag's own doubt
const DRAWS = 10_000; // the interval's ends then scatter by 3 % of u
const SEED = 2533;
const APART_U = 2; // as for model and footage: beyond twice the combined u they differ

type Quantities = Readonly<Partial<Record<QuantityName, Quantity>>>;

export interface AltimeterCheck {
  readonly quantities: Quantities;
  readonly notices: readonly Notice[];
}

/**
 * Release speed from an altimeter's apogee on a near-vertical shot, independent of camera, clock and scale: reading brought to the day's air,
 * less the rise of the push, then v = v_t √(e^(2 g h/v_t²) − 1) up, over the sine of the launch angle. First order where that holds
 * (JCGM 101:2008, 8), else from draws of all inputs. Without a drag area the speed is that of a climb without air: a lower bound.
 * With a measured release speed a notice says whether the two agree.
 * @param measurement null when the clip gave none: the altimeter then speaks in a notice alone
 */
export function altimeterCheck(
  session: Session,
  shot: Shot,
  measurement: Measurement | null,
): AltimeterCheck {
  const { altimeter } = shot;
  if (altimeter === undefined) return { quantities: {}, notices: [] };
  const { massKg, dragAreaM2 } = session.airframe;
  const measured = measurement?.quantities ?? {};
  const angle = measured.launchAngle ?? launcherAngle(session);
  if (angle !== null && angle.value < LEAST_ANGLE) {
    return only({
      level: "note",
      code: "altimeter-not-vertical",
      cause: `The altimeter checks shots that go straight up; this one left at ${showMeasured(angle, "rad").text}.`,
      remedy: "Take the altimeter's entry out, or launch within 10° of the vertical.",
    });
  }
  if (massKg === null && dragAreaM2 != null) {
    return only({
      level: "refusal",
      code: "altimeter-no-mass",
      cause:
        "The altimeter's apogee gives no speed: how much the air slows the climb hangs on the mass, which is not known.",
      remedy: "Weigh the airframe ready to fly and enter the mass.",
    });
  }
  if (!(altimeter.apogeeM.value > (measured.stroke?.value ?? 0))) {
    return only({
      level: "refusal",
      code: "altimeter-too-low",
      cause: "The altimeter's greatest height is not above the place of release.",
      remedy: "Read the greatest height above the launcher off the altimeter again.",
    });
  }
  const speed = speedOf(session, shot, angle, measured.stroke ?? null);
  if (speed === null) {
    return only({
      level: "refusal",
      code: "altimeter-too-high",
      cause: "No launch speed reaches the altimeter's height with this mass and drag area.",
      remedy: "Check the drag area, the mass and the height.",
    });
  }
  return {
    quantities: { speedFromApogee: speed },
    notices: [saying(session, speed, measured.releaseSpeed ?? null)],
  };
}

function only(notice: Notice): AltimeterCheck {
  return { quantities: {}, notices: [notice] };
}

function launcherAngle({ launcher }: Session): Measured | null {
  return launcher === null || launcher.kind === "no-model" ? null : launcher.angleRad;
}

function speedOf(
  session: Session,
  shot: Shot,
  angle: Measured | null,
  stroke: Measured | null,
): Quantity | null {
  const { apogeeM, assumes } = shot.altimeter!;
  const { massKg, dragAreaM2 } = session.airframe;
  const { temperatureK, airPressurePa } = shot.conditions;
  const none: Measured = { value: 0, u: 0 };
  const upright: Measured = { value: Math.PI / 2, u: 0 };
  const inputs: readonly UncertainInput[] = [
    aboveZero("apogeeM", apogeeM),
    aboveZero("temperatureK", temperatureK),
    aboveZero("airPressurePa", airPressurePa),
    aboveZero("massKg", massKg ?? { value: 1, u: 0 }),
    zeroOrMore("dragAreaM2", dragAreaM2 ?? none),
    // A push measured backwards has no rise to take off.
    zeroOrMore("stroke", { value: Math.max(0, stroke?.value ?? 0), u: stroke?.u ?? 0 }),
    { name: "angle", ...plain(angle ?? upright) },
  ];
  const model = ([reading, kelvin, pa, mass, drag, rise, launch]: readonly number[]): number | null => {
    const height = assumes === "standard" ? heightInDaysAir(reading!, kelvin!) : reading!;
    const sine = Math.sin(launch!);
    const terminal = terminalSpeed(mass!, drag!, airDensity(pa!, kelvin!));
    const speed = speedFromApogee(Math.max(0, height - rise! * sine), terminal) / sine;
    return Number.isFinite(speed) ? speed : null;
  };
  const linear = propagate((values) => {
    const speed = model(values);
    return speed === null ? null : [speed];
  }, inputs);
  const drawn = propagateByDraws(model, inputs, createChance(SEED), DRAWS);
  if (!linear.ok || drawn === null) return null;
  const first: Measured = { value: linear.value.values[0]!, u: linear.value.u[0]! };
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
function saying({ units, airframe }: Session, speed: Quantity, filmed: Measured | null): Notice {
  const says = `The altimeter's greatest height means release at ${showMeasured(speed, "m/s", units).text}`;
  const bound = airframe.dragAreaM2 ? "" : " at least, for the drag area is not known";
  const remedy = airframe.dragAreaM2
    ? "It hangs on neither clock nor scale of the camera."
    : "Enter the airframe's drag area to allow for the air.";
  if (filmed === null) return { level: "note", code: "altimeter-alone", cause: `${says}${bound}.`, remedy };
  const off = speed.value - filmed.value;
  const combined = Math.hypot(speed.u, filmed.u);
  const inU = combined > 0 ? Math.abs(off) / combined : off === 0 ? 0 : Number.POSITIVE_INFINITY;
  const footage = `the footage says ${showMeasured(filmed, "m/s", units).text}`;
  const times = Number.isFinite(inU) ? ` (${inU.toFixed(1)} times their combined uncertainty)` : "";
  // A lower bound below the footage is no contradiction.
  if (inU <= APART_U || (airframe.dragAreaM2 == null && off < 0)) {
    const agree = inU <= APART_U ? `they agree${times}` : "which it does not contradict";
    return {
      level: "note",
      code: "altimeter-agrees",
      cause: `${says}${bound}; ${footage}: ${agree}.`,
      remedy,
    };
  }
  return {
    level: "warning",
    code: "altimeter-differs",
    cause: `${says}${bound}; ${footage}: they differ by ${inU.toFixed(1)} times their combined uncertainty.`,
    remedy:
      "Check capture rate and scale, the air temperature, and the drag area: the first two move the footage, the others the altimeter.",
  };
}
