import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
import type { Session } from "../../src/shared/session/schema.ts";
import {
  type Field,
  openField,
  openHeading,
  type Person,
  sitDown,
  typeMeasured,
  untilSaved,
} from "./person.ts";

/** Two airframes and two launchers in one session: which a shot has, and what becomes of its marks. */
let field: Field;
let person: Person;
beforeAll(async () => {
  field = await openField();
});
afterAll(() => field?.close());
afterEach(async () => {
  await person?.leave();
});

/** The example and a second shot of the same clip. */
const twice = (session: Session): Session => ({
  ...session,
  shots: [...session.shots, { ...session.shots[0]!, id: "shot-2", name: "Shot 2" }],
});

it("adds an airframe like the first one, names and weighs it, and asks before it removes what other shots throw", async () => {
  person = await sitDown(field, { session: twice });
  const { page } = person;
  await openHeading(page, "model");
  const model = page.locator("[data-step=model]");
  const before = await person.saved();

  await model.getByRole("button", { name: "Another airframe like it" }).click();
  const thrown = model.getByLabel("This shot throws");
  expect(await thrown.locator("option:checked").textContent()).toBe("Brindle 3");
  await model.getByLabel("Name of the airframe").fill("Dunlin");
  await model.getByLabel("Name of the airframe").press("Enter");
  await typeMeasured(page, "All-up mass", "0.9", "0.004");
  await untilSaved(page);

  // Kept on the shelf, changed here, and taken back as it was kept.
  await model.getByText("no airframe yet").click();
  await model.getByRole("button", { name: "Keep this airframe on the shelf" }).click();
  await model.getByText(/^As on the shelf: kept/).waitFor();
  await typeMeasured(page, "All-up mass", "1.1", "0.01");
  const changes = model.getByRole("table", { name: "Changed here since" });
  const cells = await changes.locator("tbody").allTextContents();
  expect(cells.map((text) => text.replaceAll("\u00a0", " "))).toEqual([
    "airframe's mass0.900 ± 0.004 kg1.100 ± 0.010 kg",
  ]);
  await model.getByRole("button", { name: "Take the shelf’s values" }).click();
  await model.getByText(/^As on the shelf: kept/).waitFor();
  await untilSaved(page);
  expect((await person.saved()).shelved).toMatchObject([{ of: "airframe", edition: 1 }]);
  const both = await person.saved();
  expect(both.airframes.map(({ name, massKg }) => [name, massKg?.value])).toEqual([
    ["Brindle 2", 0.662],
    ["Dunlin", 0.9],
  ]);
  const [first, second] = both.shots;
  expect([first!.airframeId, second!.airframeId]).toEqual([both.airframes[1]!.id, both.airframes[0]!.id]);
  // Every mark went over, to points of the same names; the other shot is as it was.
  expect(first!.marks).toHaveLength(before.shots[0]!.marks.length);
  expect(second).toEqual(before.shots[1]);

  // The other shot shows its own airframe's mass.
  await page
    .getByRole("button", { name: /Shot 2/ })
    .first()
    .click();
  await openHeading(page, "model");
  expect(await model.getByLabel("Name of the airframe").inputValue()).toBe("Brindle 2");
  expect(await model.getByRole("textbox", { name: "All-up mass", exact: true }).inputValue()).toBe("0.662");

  await model.getByRole("button", { name: "Remove this airframe" }).click();
  const asked = page.getByRole("alertdialog", { name: "Remove this airframe" });
  expect(await asked.textContent()).toMatch(/Shot 2 names it\..*Thrown instead/);
  await asked.getByRole("button", { name: "Keep it" }).click();
  expect((await person.saved()).airframes).toHaveLength(2);
  await model.getByRole("button", { name: "Remove this airframe" }).click();
  await asked.getByRole("button", { name: "Remove it" }).click();
  await expect.poll(async () => (await person.saved()).airframes.map(({ name }) => name)).toEqual(["Dunlin"]);
  expect((await person.saved()).shots.map(({ marks }) => marks.length)).toEqual(
    both.shots.map(({ marks }) => marks.length),
  );
  await page.keyboard.press("Control+z");
  await expect.poll(async () => (await person.saved()).airframes).toEqual(both.airframes);
  expect((await person.saved()).shots).toEqual(both.shots);
  expect(person.complaints).toEqual([]);
});

it("gives a shot another launcher, and says which before the first one is removed from the others", async () => {
  person = await sitDown(field, { session: twice });
  const { page } = person;
  await openHeading(page, "model");
  const model = page.locator("[data-step=model]");
  await model.getByRole("button", { name: "Another launcher like it" }).click();
  const by = model.getByLabel("Thrown by");
  expect(await by.locator("option:checked").textContent()).toBe("Hobnail ram 2");
  await typeMeasured(page, "Stroke, to the stop", "900", "1");
  await untilSaved(page);
  const both = await person.saved();
  const strokes = both.launchers.map((one) => (one.kind === "compressed-air-ram" ? one.strokeM.value : 0));
  expect(strokes).toEqual([0.781, 0.9]);

  await by.selectOption({ label: "Hobnail ram" });
  await expect
    .poll(async () => (await person.saved()).shots.map(({ launcherId }) => launcherId))
    .toEqual(["hobnail", "hobnail"]);
  await model.getByRole("button", { name: "Remove the launcher" }).click();
  const asked = page.getByRole("alertdialog", { name: "Remove the launcher" });
  expect(await asked.textContent()).toMatch(/Shot 1, 3\.5 bar and Shot 2 name it\..*its tuning goes too/);
  await page.keyboard.press("Escape");
  await asked.waitFor({ state: "detached" });
  await model.getByRole("button", { name: "Remove the launcher" }).click();
  await asked.getByRole("button", { name: "Remove it" }).click();
  await expect
    .poll(async () => (await person.saved()).shots.map(({ launcherId }) => launcherId))
    .toEqual([null, null]);
  await page.keyboard.press("Control+z");
  await expect.poll(async () => (await person.saved()).launchers).toEqual(both.launchers);
  expect(person.complaints).toEqual([]);
});
