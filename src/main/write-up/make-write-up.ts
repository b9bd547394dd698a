import { chartOfNextShot } from "../../shared/figures/chart-of-next-shot.ts";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import { figuresOf } from "../../shared/figures/figures-of.ts";
import { stackOfPath } from "../../shared/figures/stack-of-path.ts";
import { marksCsv } from "./marks-csv.ts";
import { motionCsv } from "./motion-csv.ts";
import { reportHtml } from "./report.ts";
import { FIGURE_FONTS } from "./report-figures.ts";
import { nextShotOf } from "./report-next-shot.ts";
import { resultsOf } from "./results-json.ts";
import type { WriteUpInput } from "./write-up-input.ts";

/** A file of the write-up: its name inside the write-up folder, with / for folders, and its text. */
export interface WriteUpFile {
  readonly name: string;
  readonly text: string;
}

/**
 * Makes the write-up of a session: results.json, marks.csv, motion.csv, one SVG file a figure, and
 * report.html, which holds all it shows and fetches nothing. The same input gives the same text.
 */
export async function makeWriteUp(input: WriteUpInput): Promise<readonly WriteUpFile[]> {
  const { session, results, facts, madeAt } = input;
  const next = nextShotOf(input);
  const chart = next === null ? null : chartOfNextShot(next, session.units);
  const names = new Map(session.shots.map(({ id, name }) => [id, name]));
  const figures = [
    ...results.flatMap((result) =>
      figuresOf(result, session.units, names.get(result.shotId) ?? result.shotId),
    ),
    ...results.flatMap((result) => stackOfPath(result, session.units) ?? []),
    ...(chart === null ? [] : [chart]),
  ];
  return [
    { name: "report.html", text: reportHtml(input, next) },
    { name: "results.json", text: `${JSON.stringify(resultsOf(session, results, madeAt), null, 2)}\n` },
    { name: "marks.csv", text: marksCsv(session, results, facts) },
    { name: "motion.csv", text: motionCsv(results) },
    ...figures.map((figure) => ({
      name: `figures/${figure.id}.svg`,
      text: `${figureSvg(figure, { theme: "print", width: 720, height: 460, fontFamily: FIGURE_FONTS, caption: true })}\n`,
    })),
  ];
}
