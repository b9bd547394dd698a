import type { ReleaseInput } from "../kinematics/release-evidence.ts";
import type { MeasuringSetUp } from "./measuring-set-up.ts";

/** What a shot says of its release, on the clip's clock. */
export function releaseOf({ filmed, clock }: MeasuringSetUp): ReleaseInput {
  const { release } = filmed.shot;
  if (release.by === "change-point") return { by: "change-point" };
  const { frame, uFrames } = release;
  const whole = Math.floor(frame);
  const interval = clock.clock.timeOf(whole + 1) - clock.clock.timeOf(whole);
  return { by: "person", timeS: clock.clock.timeOf(frame), u: Math.max(uFrames * interval, 1e-6) };
}
