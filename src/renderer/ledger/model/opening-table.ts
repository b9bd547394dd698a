import { openingProblem } from "../../../shared/launch/ram/opening-curve.ts";
import type { PointTable } from "./point-table.ts";

const SHARES = { time: "share of the opening time", area: "share of the full area" } as const;

/** How far a valve is open against how much of its opening time has passed. */
export const OPENING_TABLE: PointTable = {
  line: "the share of the opening time, a space, and the share of the full area, such as 0.5 0.2",
  mostPoints: 100,
  problemOf(points) {
    const problem = openingProblem(points);
    return problem && { ...problem, of: SHARES[problem.of] };
  },
};
