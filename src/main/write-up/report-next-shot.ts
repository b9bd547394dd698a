import { chartOfNextShot } from "../../shared/figures/chart-of-next-shot.ts";
import { figureSvg } from "../../shared/figures/figure-svg.ts";
import { askOf, nextShot } from "../../shared/next-shot/next-shot.ts";
import type { NextShotReport } from "../../shared/next-shot/next-shot-report.ts";
import {
  answerSays,
  intervalSays,
  limitRow,
  limitsSay,
  REPEAT_HEADINGS,
  repeatRow,
  repeatSays,
} from "../../shared/next-shot/next-shot-words.ts";
import { shotSpeeds } from "../../shared/next-shot/repeats.ts";
import type { Notice } from "../../shared/quantity/notice.ts";
import type { Session } from "../../shared/session/schema.ts";
import { launcherOf } from "../../shared/session/what-took-part.ts";
import { type Html, html, trusted } from "./html.ts";
import { FIGURE_FONTS } from "./report-figures.ts";
import type { WriteUpInput } from "./write-up-input.ts";

/**
 * What the write-up says of the next shot and of repeats: the last shot's air and
 * settings, all measured speeds.
 * @returns null where nothing is asked for and fewer than two shots were measured: there is then nothing
 *   to hold against each other
 */
export function nextShotOf({ session, results }: WriteUpInput): NextShotReport | null {
  const last = session.shots.at(-1);
  if (last === undefined) return null;
  const speeds = shotSpeeds(session, last, results);
  if (session.nextShot === undefined && speeds.length < 2) return null;
  return nextShot(session, last, askOf(session.nextShot, launcherOf(session, last)), speeds);
}

/** The section of the outing as a whole: chart, answer with its limits, repeats. */
export function nextShotHtml(
  session: Session,
  report: NextShotReport | null,
  noticeHtml: (notice: Notice<string>) => Html,
): Html | null {
  if (report === null) return null;
  const { units } = session;
  const chart = chartOfNextShot(report, units);
  const repeats = repeatsHtml(report, session);
  const asked = session.nextShot?.speedMPerS != null;
  if (chart === null && repeats === null && !asked) return null;
  const answer = answerSays(report, units)?.replace(/(\d) %/, "$1\u00a0%") ?? null;
  const name = session.shots.find(({ id }) => id === report.shotId)?.name ?? report.shotId;
  const holds = report.answer?.insideLimits ? intervalSays(report, units) : "";
  return html`<h3>${asked ? "The next shot" : "Speed over what is set"}</h3>
${answer === null ? null : html`<p class="verdict">${answer}</p>`}
${asked ? report.notices.map(noticeHtml) : null}
${asked ? report.cautions.filter(({ level }) => level !== "note").map(noticeHtml) : null}
${chart === null ? null : html`<p>${holds}${holds === "" ? "" : " "}In the air and with the settings of ${name}.</p>`}
${
  chart === null
    ? null
    : html`<div class="figures"><figure class="wide">${trusted(
        figureSvg(chart, { theme: "print", width: 720, height: 400, fontFamily: FIGURE_FONTS }),
      )}<figcaption>${chart.caption}</figcaption></figure></div>`
}
${asked ? limitsHtml(report, session, noticeHtml) : null}
${repeats}`;
}

function limitsHtml(
  report: NextShotReport,
  { units }: Session,
  noticeHtml: (notice: Notice<string>) => Html,
): Html | null {
  if (report.limits.length === 0) return null;
  const rows = report.limits.map((check) => {
    const [words, value, limit, state] = limitRow(check, units);
    return html`<tr><td>${words}</td><td class="n p">${value}</td><td class="n">${limit}</td><td>${state}</td></tr>
${check.notice === null ? null : html`<tr><td colspan="4">${noticeHtml(check.notice)}</td></tr>`}`;
  });
  const where = report.answer === null ? "as it is set now" : "at this setting";
  return html`<table><thead><tr><th scope="col">Limit</th><th class="n" scope="col">${where}</th><th class="n" scope="col">stated</th><th scope="col">stands</th></tr></thead>
<tbody>${rows}</tbody></table>
${report.notices.length > 0 ? null : html`<p>${limitsSay(report, units)}</p>`}`;
}

function repeatsHtml({ groups }: NextShotReport, { units }: Session): Html | null {
  const rows = groups.flatMap((group) => {
    const row = repeatRow(group, units);
    return row === null ? [] : [{ row, says: repeatSays(group.repeatability!) }];
  });
  if (rows.length === 0) return null;
  const keys = Object.keys(REPEAT_HEADINGS) as (keyof typeof REPEAT_HEADINGS)[];
  return html`<h3>Repeats</h3>
<table><thead><tr>${keys.map((key) => html`<th class="n" scope="col">${REPEAT_HEADINGS[key]}</th>`)}</tr></thead>
<tbody>${rows.map(
    ({ row }) => html`<tr>${keys.map((key) => html`<td class="n">${row[key]}</td>`)}</tr>`,
  )}</tbody></table>
${rows.map(({ row, says }) => html`<p>${row.setting}: ${says}</p>`)}
<p class="soft">Intervals hold 95 %, by Student's t and chi-square from scatter alone. What all shots share (scale, clock, lens) is no smaller for many shots, and stands apart.</p>`;
}
