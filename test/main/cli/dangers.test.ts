import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { createElement } from "react";
import { renderToStaticMarkup } from "react-dom/server";
import { describe, expect, it } from "vitest";
import { sessionText } from "../../../src/main/store/session-text.ts";
import { NextShotAnswer } from "../../../src/renderer/ledger/next-shot/NextShotAnswer.tsx";
import type { NextShotReport } from "../../../src/shared/next-shot/next-shot-report.ts";
import type { Notice } from "../../../src/shared/quantity/notice.ts";
import { DANGEROUS_LAUNCHES } from "../../support/dangerous-launches.ts";
import { cli } from "../../support/run-cli.ts";
import { temporaryFolder } from "../../support/temporary-folder.ts";

/** As text, however its lines and its spaces are kept together. */
const flat = (text: string) => text.replace(/<[^>]*>/g, " ").replace(/[\s\u00a0]+/g, " ");

/** What the window shows of a report, without its chart, which needs a width. */
function windowSays(report: NextShotReport): string {
  const shown = { report: { ...report, curve: [] }, units: "SI" as const, motors: false };
  return flat(renderToStaticMarkup(createElement(NextShotAnswer, shown)))
    .replaceAll("&#x27;", "'")
    .replaceAll("&amp;", "&");
}

describe("a launch that a careful person would stop at", () => {
  it.each(DANGEROUS_LAUNCHES)("$name: predict, next-shot and the window say the same", async (one) => {
    const folder = await temporaryFolder();
    await writeFile(join(folder, "loftmark.json"), sessionText(one.session));
    const predicted = JSON.parse((await cli(["predict", folder, "--json"])).out);
    const said: readonly Notice<string>[] = predicted.shots[0].notices;
    const report: NextShotReport = JSON.parse((await cli(["next-shot", folder, "--json"])).out);
    const nextText = await cli(["next-shot", folder]);
    const shown = windowSays(report);
    const all = flat(nextText.out + nextText.err);
    const next: readonly Notice<string>[] = [
      ...report.cautions,
      ...report.notices,
      ...report.limits.flatMap(({ notice }) => notice ?? []),
    ];
    for (const code of one.says) {
      expect(said.map((notice) => notice.code)).toContain(code);
      const found = next.find((notice) => notice.code === code);
      expect(found, `next-shot says ${code}`).toBeDefined();
      expect(all).toContain(flat(found!.cause));
      expect(shown).toContain(flat(found!.cause));
    }
  });
});
