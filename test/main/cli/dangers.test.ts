import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { createElement } from "react";
import { renderToStaticMarkup } from "react-dom/server";
import { describe, expect, it } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { html } from "../../../src/main/write-up/html.ts";
import { nextShotHtml } from "../../../src/main/write-up/report-next-shot.ts";
import { type Tools, ToolsContext } from "../../../src/renderer/actions/app-context.ts";
import { NextShotAnswer } from "../../../src/renderer/ledger/next-shot/NextShotAnswer.tsx";
import type { NextShotReport } from "../../../src/shared/next-shot/next-shot-report.ts";
import { GRAVITY, type Notice } from "../../../src/shared/quantity/notice.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { DANGEROUS_LAUNCHES } from "../../support/dangerous-launches.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

/** As text, however lines and spaces are kept together; a word that leads to the guide is in the text. */
const flat = (text: string) =>
  text
    .replace(/<\/?button[^>]*>/g, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/[\s\u00a0]+/g, " ");

/** What is only shown does nothing. */
const NOTHING_DONE = { actions: {} } as Tools;

/** What the window shows of a report, without its chart, which needs a width. */
function windowSays(report: NextShotReport): string {
  const shown = { report: { ...report, curve: [] }, units: "SI" as const, motors: false };
  const answer = createElement(NextShotAnswer, shown);
  return plain(renderToStaticMarkup(createElement(ToolsContext.Provider, { value: NOTHING_DONE }, answer)));
}

const noticeHtml = ({ cause, remedy }: Notice<string>) => html`<p>${cause} ${remedy}</p>`;

/** What the write-up says of a report. */
function reportSays(session: Session, report: NextShotReport): string {
  return plain(nextShotHtml(session, report, noticeHtml)?.text ?? "");
}

const plain = (markup: string) =>
  flat(markup)
    .replaceAll(/&#(x27|39);/g, "'")
    .replaceAll("&quot;", '"')
    .replaceAll("&amp;", "&");

describe("a launch that a careful person would stop at", () => {
  it.each(DANGEROUS_LAUNCHES)("$name: predict, next-shot, window and write-up say the same", async (one) => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "loftmark.json"), sessionText(one.session));
    const predicted = JSON.parse((await cli(["predict", folder, "--json"])).out);
    const said: readonly Notice<string>[] = predicted.shots[0].notices;
    const report: NextShotReport = JSON.parse((await cli(["next-shot", folder, "--json"])).out);
    const nextText = await cli(["next-shot", folder]);
    const shown = windowSays(report);
    const written = reportSays(one.session, report);
    const all = flat(nextText.out + nextText.err);
    const next: readonly Notice<string>[] = [
      ...report.cautions,
      ...report.notices,
      ...report.limits.flatMap(({ notice }) => notice ?? []),
    ];
    const graveness = said.map(({ level }) => GRAVITY[level]);
    expect(graveness).toEqual(graveness.toSorted((a, b) => b - a));
    const told = said.map(({ cause, remedy }) => `${cause} ${remedy}`).join(" ");
    for (const text of [told, all, shown, written]) {
      if (one.never !== null) expect(text).not.toMatch(one.never);
    }
    for (const code of one.says) {
      expect(said.map((notice) => notice.code)).toContain(code);
      const found = next.find((notice) => notice.code === code);
      expect(found, `next-shot says ${code}`).toBeDefined();
      expect(all).toContain(flat(found!.cause));
      expect(shown).toContain(flat(found!.cause));
      expect(written).toContain(flat(found!.cause));
    }
  });
});
