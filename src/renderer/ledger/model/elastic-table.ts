import { tableProblem } from "../../../shared/launch/elastic/elastic-curve.ts";
import type { PointTable } from "./point-table.ts";

/** Pull of a line against its extension. */
export const ELASTIC_TABLE: PointTable = {
  line: "the extension in m, a space, and the force in N, such as 0.5 14",
  mostPoints: 500,
  problemOf: tableProblem,
};
