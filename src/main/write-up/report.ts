import { figuresOf } from "../../shared/figures/figures-of.ts";
import { stackOfPath } from "../../shared/figures/stack-of-path.ts";
import { PROPELLER_CAUTION } from "../../shared/launch/cautions.ts";
import { launcherModel, modelOf } from "../../shared/launchers/launcher-models.ts";
import type { NextShotReport } from "../../shared/next-shot/next-shot-report.ts";
import { outingSays } from "../../shared/outings/outing-words.ts";
import type { UnitSet } from "../../shared/quantity/display.ts";
import type { Notice } from "../../shared/quantity/notice.ts";
import type { ShotResult } from "../../shared/results/shot-result.ts";
import type { Conditions, Launcher, Outing, Session } from "../../shared/session/schema.ts";
import { launcherOf } from "../../shared/session/what-took-part.ts";
import { fontFaces } from "./fonts.ts";
import { type Html, html, trusted } from "./html.ts";
import { sessionFacts, shotFacts } from "./report-facts.ts";
import { figuresHtml, pathHtml } from "./report-figures.ts";
import { nextShotHtml, nextShotOf } from "./report-next-shot.ts";
import { REPORT_STYLE } from "./report-style.ts";
import { budgetTable, comparisonTable, headlinesHtml, overviewTable, resultsTable } from "./report-tables.ts";
import type { WriteUpInput } from "./write-up-input.ts";

// A report may be opened anywhere: it is allowed its own style and fonts, and nothing else at all.
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; font-src data:";

/**
 * The report as one HTML document that holds its fonts and figures, runs no script and fetches nothing.
 * @param next what is said of the next shot, where it was solved for before
 */
export function reportHtml(input: WriteUpInput, next: NextShotReport | null = nextShotOf(input)): string {
  const { session, results } = input;
  const title = session.title || "Untitled outing";
  const nameOf = (id: string) => session.shots.find((shot) => shot.id === id)?.name ?? id;
  const day = /^\d{4}-\d{2}-\d{2}/.exec(input.madeAt)?.[0] ?? input.madeAt;
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${POLICY}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="generator" content="Loftmark">
<title>${title}: what the launcher did</title>
<style>
${trusted(fontFaces())}
${trusted(REPORT_STYLE)}
</style>
</head>
<body>
<main>
<header>
<h1>${title}</h1>
<p class="soft">Loftmark write-up of ${results.length === 1 ? "one shot" : `${results.length} shots`}, made ${day}. Every value is given with its standard uncertainty (k = 1).</p>
${sessionFacts(session)}
${saidOnce(session.launchers.flatMap((one) => launcherCautions(one, session.units))).map(cautionHtml)}
</header>
${overviewTable(results, nameOf, session.units)}
${nextShotHtml(session, next, noticeHtml)}
${outingsHtml(session)}
${results.map((result) => shotSection(input, result, nameOf(result.shotId)))}
${method()}
<section><h3>Cautions</h3>${saidOnce(launchersOf(session).flatMap(closingCautions)).map(cautionHtml)}</section>
<footer class="soft">The numbers are in results.json, marks.csv and motion.csv beside this page, in SI units and radians; the figures are in figures/.</footer>
</main>
</body>
</html>
`;
  return page.text;
}

function shotSection({ session, results, facts }: WriteUpInput, result: ShotResult, name: string): Html {
  const shot = session.shots.find((one) => one.id === result.shotId);
  const { units } = session;
  const launcher = launcherOf(session, shot ?? null);
  return html`<section class="shot${results.length === 1 ? " only" : ""}">
<h2>${name}</h2>
${headlinesHtml(result, units)}
<p class="verdict">${verdictOf(result)}</p>
${result.comparison?.reading ? html`<p class="reading">${result.comparison.reading.text}</p>` : null}
${noticesHtml(launcher, shot?.conditions ?? null, result, units)}
${comparisonTable(result, units)}
${figuresHtml(figuresOf(result, units, name))}
${pathHtml(stackOfPath(result, units))}
${budgetTable(result, units)}
${resultsTable(result, units)}
${shot === undefined ? null : html`<h3>Clip, clock, scale and air</h3>${shotFacts(session, shot, facts.get(shot.clip ?? "") ?? null)}`}
</section>`;
}

/** Which other outings count in tuning and repeats, and what of them. */
function outingsHtml(session: Session): Html | null {
  const { outings = [] } = session;
  if (outings.length === 0) return null;
  const one = (outing: Outing) =>
    html`<li>${outing.title}, in ${outing.path}, as it was read on ${outing.readAt.slice(0, 10)}. ${outingSays(outing, session).join(" ")}</li>`;
  return html`<h3>Other outings</h3>
<p>Shots named after one of these were made on another day. They count in tuning and repeats with the numbers that this session keeps of them; a rod or a camera that was another one then shares no error with today’s.</p>
<ul>${outings.map(one)}</ul>`;
}

function verdictOf(result: ShotResult): string {
  if (result.measurement === null) return "Not measured: the notices below say what is missing.";
  return result.comparison?.verdict ?? "Measured; there is no prediction to hold it against.";
}

/** Those of a session; null in their place where there is none. */
function launchersOf({ launchers }: Session): readonly (Launcher | null)[] {
  return launchers.length === 0 ? [null] : launchers;
}

/** What several launchers call for in the same words. */
function saidOnce(cautions: readonly Notice<string>[]): readonly Notice<string>[] {
  return cautions.filter(({ cause }, at) => cautions.findIndex((one) => one.cause === cause) === at);
}

/** Cautions of the launcher itself, as of its tank, which stand once where it is described. */
function launcherCautions(launcher: Launcher | null, units: UnitSet): readonly Notice<string>[] {
  return launcher === null ? [] : launcherModel(launcher).cautions.standing(launcher, units);
}

/**
 * Notices of a shot, then the cautions of its pressure; what stands at the launcher or at
 * the end is not said again.
 */
function noticesHtml(
  launcher: Launcher | null,
  conditions: Conditions | null,
  result: ShotResult,
  units: UnitSet,
): Html {
  const cautions = shotCautions(launcher, conditions, result, units);
  const elsewhere = [...launcherCautions(launcher, units), ...closingCautions(launcher), ...cautions];
  const said = new Set(elsewhere.map((notice) => notice.code));
  return html`${result.notices.filter((notice) => !said.has(notice.code)).map(noticeHtml)}${cautions.map(cautionHtml)}`;
}

/** Cautions of every shot from such a launcher, and of any airframe with a motor. */
function closingCautions(launcher: Launcher | null): readonly Notice<string>[] {
  return [...(modelOf(launcher)?.cautions.closing ?? []), PROPELLER_CAUTION];
}

/** Cautions of the energy stored for one shot, less what the launcher's cautions say already. */
function shotCautions(
  launcher: Launcher | null,
  conditions: Conditions | null,
  result: ShotResult,
  units: UnitSet,
): readonly Notice<string>[] {
  if (launcher === null || conditions === null) return [];
  const said = new Set(launcherCautions(launcher, units).map((notice) => notice.code));
  const energyJ = result.prediction?.storedEnergyJ ?? null;
  return launcherModel(launcher)
    .cautions.ofStoredEnergy(launcher, conditions, energyJ, units)
    .filter((notice) => !said.has(notice.code));
}

const LEVELS = { note: "note", warning: "doubtful", refusal: "not given", danger: "danger" } as const;

function noticeHtml(notice: Notice<string>): Html {
  return html`<div class="notice ${notice.level}"><span class="level">${LEVELS[notice.level]}</span>${notice.cause} ${notice.remedy}</div>`;
}

function cautionHtml(notice: Notice<string>): Html {
  const level = notice.level === "note" ? "caution" : LEVELS[notice.level];
  return html`<div class="notice ${notice.level}"><span class="level">${level}</span>${notice.cause} ${notice.remedy}</div>`;
}

function method(): Html {
  return html`<section><h3>How</h3>
<p>Points on the airframe were marked in single frames of the clip, each in pixels with a standard uncertainty. The clock
turns a frame's number into seconds, the scale rod turns pixels into metres on the flight plane, and the plumb line gives
the vertical. The marks of one frame give a pose: the place of the centre of gravity and the pitch. Position, speed,
acceleration and pitch rate come from a fit in time that is never smoothed across release, where the push ends.
Uncertainties of marks, scale, clock, plumb, centre of gravity and release are carried through to every result and added as
variances (JCGM 100:2008). Time runs from release; pitch and pitch rate are positive nose up; acceleration is along the
launch direction. Position is travel from rest.</p></section>`;
}
