import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
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

/** A push of half a sine to 14 m/s at 400 readings a second, the drag after it, and a ripple for noise. */
function log(): string {
  const [g, length] = [9.80665, 0.1];
  const rows = Array.from({ length: 900 }, (_, i) => {
    const t = i / 400;
    const x = (t - 1) / length;
    const at = x < 0 ? 3.9 : x < 1 ? 220 * Math.sin(Math.PI * x) + 3.9 : -2.2 / (1 + 0.3 * (t - 1.1));
    return `${t.toFixed(4)},${(at / g + 0.02 * Math.sin(37 * i)).toFixed(4)}`;
  });
  return ["time (s),acceleration (g)", ...rows, ""].join("\n");
}

it("holds a log of the folder against the footage, and keeps it by name and content", async () => {
  person = await sitDown(field);
  const { page } = person;
  await writeFile(join(person.folder, "flight.csv"), log());
  await openHeading(page, "verdict");
  const part = page.locator("[data-step=verdict] details.more", { hasText: "Log carried on board" });
  await part.locator("summary").click();
  await part.getByRole("button", { name: "Choose a log" }).click();
  await part.getByText("flight.csv", { exact: true }).click();
  await part.locator("figure svg").waitFor();
  const row = part.getByRole("row", { name: /^Release speed/ });
  const said = (await row.locator("td").textContent())!.replaceAll("\u00a0", " ");
  // The area of half a sine, 2/π of 220 m/s² over 0.1 s.
  expect(Math.abs(Number.parseFloat(said) - (2 / Math.PI) * 22)).toBeLessThan(0.3);
  expect(await part.locator(".notices").textContent()).toContain("The log says release at");
  await untilSaved(page);
  const { log: kept } = (await person.saved()).shots[0]!;
  expect([kept!.name, kept!.fingerprint.length]).toEqual(["flight.csv", 71]);

  await writeFile(join(person.folder, "flight.csv"), log().replace("0.0000,", "0.0001,"));
  await page.reload();
  await openHeading(page, "verdict");
  await part.locator("summary").click();
  await part.getByText("its content has changed").waitFor();
  await part.getByRole("button", { name: "Remove the log" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.log).toBeUndefined();
  expect(person.complaints).toEqual([]);
});
