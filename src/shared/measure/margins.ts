import { airDensity } from "../launch/air.ts";
import { airspeed, measuredStallSpeed } from "../launch/stall.ts";
import { marginNotices } from "../launchers/margin-notices.ts";
import { afterRelease } from "../predict/after-release.ts";
import type { Measured, Quantity } from "../quantity/measured.ts";
import type { ShotNotice } from "../results/notices/shot-notices.ts";
import type { Measurement, QuantityName } from "../results/shot-result.ts";
import type { LaunchedShot, LaunchInputs } from "../session/launch-inputs.ts";

type Quantities = Partial<Record<QuantityName, Quantity>>;

/**
 * Adds stall speed and stall margin to a measurement where the document holds what they need, with the flight
 * that follows from release, and says what they mean.
 */
export function margins(
  launch: LaunchInputs,
  measurement: Measurement,
): { measurement: Measurement; notices: readonly ShotNotice[] } {
  const atRelease = { ...measurement.quantities, ...stallQuantities(launch, measurement.quantities) };
  const after = afterRelease(launch.launcher, launch, atRelease, "measured");
  return {
    measurement: { ...measurement, quantities: { ...atRelease, ...after.quantities } },
    notices: [...marginNotices("measured", atRelease, launch.airframe.loadLimitG), ...after.notices],
  };
}

/**
 * Stall speed in the day's air, and release airspeed over it. Inputs independent, first
 * order (JCGM 100:2008, 5.1.2).
 * @returns nothing when mass, wing area, lift coefficient, speed or launch angle is missing
 */
function stallQuantities({ airframe, conditions }: LaunchedShot, quantities: Quantities): Quantities {
  const { massKg, wingAreaM2, liftCoefficientMax } = airframe;
  const { releaseSpeed, launchAngle } = quantities;
  if (!massKg || !wingAreaM2 || !liftCoefficientMax || !releaseSpeed || !launchAngle) return {};
  const { airPressurePa, temperatureK, headwindMPerS } = conditions;
  const density = airDensity(airPressurePa.value, temperatureK.value);
  const stall = measuredStallSpeed({
    massKg,
    wingAreaM2,
    liftCoefficientMax,
    airDensity: {
      value: density,
      u: density * Math.hypot(airPressurePa.u / airPressurePa.value, temperatureK.u / temperatureK.value),
    },
    loadFactor: { value: 1, u: 0 },
  });
  const air = airspeedOf(releaseSpeed, launchAngle, headwindMPerS);
  const margin = air.value / stall.value;
  return {
    stallSpeed: {
      ...stall,
      unit: "m/s",
      how: "level flight in the day's air, from mass, wing area and greatest lift coefficient",
    },
    stallMargin: {
      value: margin,
      u: margin * Math.hypot(air.u / air.value, stall.u / stall.value),
      unit: "1",
      how: "airspeed at release, headwind included, over stall speed",
    },
  };
}

function airspeedOf(speed: Measured, angle: Measured, headwind: Measured): Measured {
  const value = airspeed(speed.value, angle.value, headwind.value);
  const level = speed.value * Math.cos(angle.value) + headwind.value;
  const bySpeed = (level * Math.cos(angle.value) + speed.value * Math.sin(angle.value) ** 2) / value;
  const byAngle = (-headwind.value * speed.value * Math.sin(angle.value)) / value;
  return { value, u: Math.hypot(bySpeed * speed.u, byAngle * angle.u, (level / value) * headwind.u) };
}
