import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { firstOf } from "../support/one-of-each.ts";
import { shotsField } from "../support/shots-field.ts";
import {
  type Field,
  openField,
  openHeading,
  type Person,
  sitDown,
  typeMeasured,
  untilSaved,
} from "./person.ts";

let field: Field;
let person: Person;
beforeAll(async () => {
  field = await openField();
});
afterAll(() => field?.close());
afterEach(async () => {
  await person?.leave();
});

it("tunes the ticked inputs on the chosen shots, tries the held-out one, and predicts with the tuned values from then on", async () => {
  const { session } = shotsField(4, [2.5e5, 3.5e5, 4.5e5, 5e5]);
  person = await sitDown(field, {
    session: () => ({ ...session, shots: session.shots.map((shot) => ({ ...shot, clip: EXAMPLE_CLIP })) }),
  });
  const { page } = person;
  await openHeading(page, "tuning");
  const section = page.locator("[data-step=tuning]");
  const shot = (name: string) => section.getByRole("group", { name, exact: true });
  await shot("Shot 4").waitFor(); // measured
  await shot("Shot 4").getByText("hold out").click();
  // What no tape measures is ticked to begin with.
  expect(await section.getByLabel("valve's sonic conductance").isChecked()).toBe(true);
  expect(await section.getByLabel("bore").isChecked()).toBe(false);
  await section.getByRole("button", { name: "Tune on 3 shots" }).click();
  const row = section.locator("[data-input='valve.conductance']");
  await row.waitFor();
  expect((await row.textContent())!.replaceAll("\u00a0", " ")).toMatch(
    /valve's sonic conductance[\d.]+ ± [\d.]+ dm³\/\(s·bar\)[\d.]+ ± [\d.]+ dm³\/\(s·bar\)/,
  );
  expect(await section.textContent()).toMatch(/Shot 4: predicted/);
  expect(await section.textContent()).toMatch(/chi-square/);
  await untilSaved(page);
  expect(firstOf(await person.saved()).tuning).toMatchObject({
    parameters: ["valve.conductance", "slidingN", "openingS"],
    shotIds: ["shot-1", "shot-2", "shot-3"],
    heldOutShotIds: ["shot-4"],
    use: false,
  });
  const stated = await page.locator("[data-headline=releaseSpeed]").textContent();
  await section.getByLabel("Use the tuned values in predictions").check();
  await untilSaved(page);
  const saved = await person.saved();
  expect(firstOf(saved).tuning?.use).toBe(true);
  expect(firstOf(saved).launcher).toEqual(firstOf(session).launcher);
  // The prediction in the window is now the tuned launcher's: closer to what was measured, and surer.
  await page.waitForFunction(
    (before) => document.querySelector("[data-headline=releaseSpeed]")?.textContent !== before,
    stated,
  );

  // A change of what the values rest on takes them away, and says so; what was chosen stays.
  await openHeading(page, "model");
  await typeMeasured(page, "All-up mass", "0.7", "0.002");
  await untilSaved(page);
  expect(firstOf(await person.saved()).tuning).toMatchObject({
    tuned: null,
    shotIds: ["shot-1", "shot-2", "shot-3"],
  });
  await openHeading(page, "tuning");
  expect(await section.textContent()).toMatch(
    /There are no tuned values: something they depended on has changed/,
  );
  expect(person.complaints).toEqual([]);
});
