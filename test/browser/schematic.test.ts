import { expect, it } from "vitest";
import { freshRam } from "../../src/shared/launchers/ram/fresh-ram.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { oneOfEach } from "../support/one-of-each.ts";
import { expectAccessible } from "./accessible.ts";
import { oneSitting, openHeading, typeMeasured } from "./person.ts";

const guessed = (session: Session): Session => oneOfEach({ ...session, launcher: freshRam() });
const sitting = oneSitting({ session: guessed });
const dashes = (part: string) =>
  sitting.person.page
    .locator(`[data-part="${part}"] .shape-line`)
    .first()
    .evaluate((line) => getComputedStyle(line).strokeDasharray);

it("lights the part that the field in focus speaks of, leads from a part to its field, and draws a guess dashed until it is overwritten", async () => {
  const { page, complaints } = sitting.person;
  await openHeading(page, "model");
  const schematic = page.locator(".schematic");
  const lit = schematic.locator(".lit");

  await page.getByRole("textbox", { name: "Stroke, to the stop", exact: true }).focus();
  await schematic.locator("[data-part=strokeM].lit").waitFor();
  expect(await lit.count()).toBe(1);
  await schematic.getByText("The stroke: a guess").waitFor();
  await page.getByRole("textbox", { name: "Sliding", exact: true }).focus();
  await schematic.locator("[data-part=slidingN].lit").waitFor();
  await schematic.locator("[data-part=strokeM]:not(.lit)").waitFor();

  // Under the pointer, the field in focus gives way.
  await page.getByText("Dead volume, valve to piston").hover();
  await schematic.locator("[data-part=deadVolumeM3].lit").waitFor();
  await schematic.locator("[data-part=slidingN]:not(.lit)").waitFor();
  // The field that gets it next does not give way to a pointer that rests.
  await page.getByRole("textbox", { name: "Stroke, to the stop", exact: true }).focus();
  await schematic.locator("[data-part=strokeM].lit").waitFor();
  await schematic.locator("[data-part=deadVolumeM3]:not(.lit)").waitFor();

  // A part leads to its field, the fold above it opened.
  await schematic.locator("[data-part=strokeM] text").click();
  await page.locator("[data-input='launcher.strokeM'] input:focus").waitFor();
  const choice = page.getByRole("group", { name: "The travel of the end stop's buffer is" });
  expect(await choice.isVisible()).toBe(false);
  await schematic.locator("[data-part=endStop] text").click();
  await choice.waitFor();
  await choice.locator("input:focus").waitFor();

  expect(await dashes("boreM")).toBe("4px, 3px");
  await typeMeasured(page, "Bore", "32", "0.1");
  await schematic.locator("[data-part=boreM].stated").waitFor();
  expect(await dashes("boreM")).toBe("none");
  expect(await dashes("strokeM")).toBe("4px, 3px");
  await schematic.getByText("a guess, or an assumed ±").waitFor();
  expect(await schematic.locator("svg[role=img]").getAttribute("aria-label")).toMatch(
    /Drawn from guesses: .*the stroke.*Not stated: .*the end stop/,
  );
  await expectAccessible(page, "Dark");
  expect(complaints).toEqual([]);
});

it("stays whole in a narrow window", async () => {
  const { page, complaints } = sitting.person;
  await page.setViewportSize({ width: 640, height: 400 });
  await openHeading(page, "model");
  const drawing = page.locator(".schematic > svg");
  await drawing.scrollIntoViewIfNeeded();
  const [paper, parts] = await drawing.evaluate((svg) => [
    svg.getBoundingClientRect().toJSON(),
    [...svg.querySelectorAll(".schematic-part")].map((part) => part.getBoundingClientRect().toJSON()),
  ]);
  expect(parts.length).toBeGreaterThan(10);
  for (const part of parts) {
    expect(part.left).toBeGreaterThanOrEqual(paper.left - 0.5);
    expect(part.right).toBeLessThanOrEqual(paper.right + 0.5);
    expect(part.top).toBeGreaterThanOrEqual(paper.top - 0.5);
    expect(part.bottom).toBeLessThanOrEqual(paper.bottom + 0.5);
  }
  const words = await drawing
    .locator("text")
    .first()
    .evaluate((text) => text.getBoundingClientRect().height);
  expect(words).toBeGreaterThan(9);
  await expectAccessible(page);
  expect(complaints).toEqual([]);
});
