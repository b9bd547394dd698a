import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
import { predictShot } from "../../src/shared/predict/predict-shot.ts";
import { type Field, openField, openHeading, type Person, sitDown, untilSaved } from "./person.ts";

let field: Field;
let person: Person;
beforeAll(async () => {
  field = await openField();
});
afterAll(() => field?.close());
afterEach(async () => {
  await person?.leave();
});

async function typeNumber(label: string, text: string): Promise<void> {
  const entry = person.page.getByLabel(label, { exact: true });
  await entry.fill(text);
  await entry.press("Enter");
}

it("answers a wanted speed in one sentence with its chart, refuses one that breaks a limit, and keeps what was asked", async () => {
  person = await sitDown(field);
  const { page } = person;
  await openHeading(page, "next-shot");
  const settled = page.locator(".next-shot[aria-busy=false]");
  await settled.waitFor();
  await typeNumber("Release speed wanted", "13");
  await typeNumber("Least stall margin", "1.2");
  await page.locator(".next-answer").waitFor();
  await settled.waitFor();
  const said = (await page.locator(".next-answer").textContent())!.replaceAll("\u00a0", " ");
  const [, bar] = /^Fill to ([\d.]+) ± [\d.]+ bar for 13\.0 m\/s; next shot between/.exec(said)!;
  await untilSaved(page);
  const session = await person.saved();
  expect(session.nextShot).toEqual({
    speedMPerS: { value: 13, u: 0 },
    choose: "pressure",
    leastStallMargin: 1.2,
  });
  // What the sentence says, put to the model: the digits shown are good to half a
  // hundredth of a bar, 0.02 m/s.
  const shot = session.shots[0]!;
  const gaugePressurePa = { value: Number(bar) * 1e5, u: 0 };
  const at = predictShot(session, { ...shot, conditions: { ...shot.conditions, gaugePressurePa } });
  expect(Math.abs(at.prediction!.quantities.releaseSpeed!.value - 13)).toBeLessThan(0.03);
  expect(await page.locator(".next-shot figure svg title").textContent()).toContain("Release speed over");
  expect(await page.locator("[data-limit=stall] th").textContent()).toBe("Stall margin: inside");

  await typeNumber("Release speed wanted", "20");
  await page.locator(".next-answer.outside").waitFor();
  expect(await page.locator(".next-answer").textContent()).toMatch(/^Outside the limits: 20\.0/);
  expect(await page.locator(".next-shot > .notices").first().textContent()).toContain(
    "The greatest speed inside all limits is",
  );
  expect(person.complaints).toEqual([]);
});

it("shows the card for the field, for a further mass as well, and offers it as a file", async () => {
  person = await sitDown(field);
  const { page } = person;
  await openHeading(page, "next-shot");
  await page.locator(".next-shot[aria-busy=false]").waitFor();
  await page.getByRole("button", { name: "Pressure card" }).click();
  const card = page.locator(".field-card svg");
  await card.waitFor();
  expect(await card.locator("title").textContent()).toContain("Release speed over tank pressure");
  await typeNumber("Further mass on the card", "1.5");
  await card.getByText("1.5 kg", { exact: true }).first().waitFor();
  await untilSaved(page);
  expect((await person.saved()).nextShot?.cardMassesKg).toEqual([1.5]);
  const link = page.getByRole("link", { name: "Save the card" });
  const [download] = await Promise.all([page.waitForEvent("download"), link.click()]);
  expect(download.suggestedFilename()).toBe("card.html");
  await typeNumber("Further mass on the card", "");
  await untilSaved(page);
  expect((await person.saved()).nextShot?.cardMassesKg).toEqual([]);
  expect(person.complaints).toEqual([]);
});
