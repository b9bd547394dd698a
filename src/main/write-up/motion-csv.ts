import { csvText } from "../../shared/results/csv.ts";
import type { MotionCurves, ShotResult } from "../../shared/results/shot-result.ts";

const COLUMNS = [
  ["position_m", "position"],
  ["speed_m_per_s", "speed"],
  ["acceleration_m_per_s2", "acceleration"],
  ["pitch_rad", "pitch"],
  ["pitch_rate_rad_per_s", "pitchRate"],
] as const satisfies readonly (readonly [string, keyof MotionCurves])[];

/**
 * The fitted motion of every measured shot: time from release, then each curve with its
 * standard uncertainty, SI.
 */
export function motionCsv(results: readonly ShotResult[]): string {
  const header = ["shot", "time_s", ...COLUMNS.flatMap(([name]) => [name, `u_${name}`])];
  const rows = results.flatMap(({ shotId, measurement }) =>
    (measurement?.curves.timeS ?? []).map((timeS, i) => [
      shotId,
      timeS,
      ...COLUMNS.flatMap(([, key]) => [measurement!.curves[key].value[i]!, measurement!.curves[key].u[i]!]),
    ]),
  );
  return csvText(header, rows);
}
