import type { MotionInput } from "../kinematics/fitted-motion.ts";
import { modelOf } from "../launchers/launcher-models.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";

/**
 * What a shot says of its release, times on the clip's clock, and whether the airframe may be pushed on after
 * it: so with a launcher that does, once release is told by more than the end of the push.
 */
export function statedRelease({ filmed, clock }: MeasuringSetUp): Pick<MotionInput, "release" | "powered"> {
  const { release } = filmed.shot;
  if (release.by === "change-point") return { release: { by: "change-point" } };
  const powered = modelOf(filmed.launcher)?.pushesAfterRelease === true;
  if (release.by === "travel") {
    const { value, u } = release.travelM;
    return { release: { by: "travel", travelM: value, u: Math.max(u, 1e-6) }, powered };
  }
  const { frame, uFrames } = release;
  const whole = Math.floor(frame);
  const interval = clock.clock.timeOf(whole + 1) - clock.clock.timeOf(whole);
  const u = Math.max(uFrames * interval, 1e-6);
  return { release: { by: "person", timeS: clock.clock.timeOf(frame), u }, powered };
}
