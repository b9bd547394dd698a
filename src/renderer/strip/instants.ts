import type { Measurement } from "../../shared/results/shot-result.ts";
import { frameAtTime, type StripTime } from "./strip-plan.ts";

/** An instant of the launch that one wants to see, and the frame nearest to it. */
export interface LaunchInstant {
  readonly name: "first motion" | "peak" | "release";
  readonly frame: number;
}

/** First motion, the peak of the acceleration and release, as far as the marks show them. */
export function launchInstants(
  measurement: Measurement | null,
  time: StripTime,
  count: number,
): readonly LaunchInstant[] {
  if (measurement === null || count === 0) return [];
  const { releaseClipS, startClipS, quantities } = measurement;
  const at = (clipS: number) => Math.round(frameAtTime(time, clipS, count));
  const peak = quantities.peakBeforeRelease;
  return [
    { name: "first motion", frame: at(startClipS) },
    ...(peak === undefined ? [] : [{ name: "peak", frame: at(releaseClipS - peak.value) } as const]),
    { name: "release", frame: at(releaseClipS) },
  ];
}
