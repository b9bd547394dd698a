import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";
import { expect } from "vitest";

interface Violation {
  readonly id: string;
  readonly impact: string;
  readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
}

declare const axe: {
  run(of: Document, options: object): Promise<{ violations: readonly Violation[] }>;
};

const SOURCE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"];
const CONTRAST = ["color-contrast"];

/**
 * Looks at what the window shows now by the rules of WCAG 2.1, levels A and AA, that a machine can check; in
 * the theme `also` at its contrasts too, and comes back to the one before.
 */
export async function expectAccessible(page: Page, also?: "Dark" | "Light"): Promise<void> {
  const there = await page.evaluate(() => "axe" in window);
  if (!there) await page.evaluate(readFileSync(SOURCE, "utf8"));
  const found = async (runOnly: readonly string[]) =>
    page.evaluate(async (only) => {
      const { violations } = await axe.run(document, { runOnly: only, resultTypes: ["violations"] });
      return violations
        .filter(({ impact }) => impact === "serious" || impact === "critical")
        .map(
          ({ id, nodes }) =>
            `${id}: ${nodes.map((node) => `${node.html} ${node.failureSummary}`).join("\n")}`,
        );
    }, runOnly);
  expect(await found(WCAG)).toEqual([]);
  if (also === undefined) return;
  await page.getByRole("button", { name: also, exact: true }).click();
  expect(await found(CONTRAST)).toEqual([]);
  await page.getByRole("button", { name: also === "Dark" ? "Light" : "Dark", exact: true }).click();
}
