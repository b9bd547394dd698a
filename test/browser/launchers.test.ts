import { afterAll, afterEach, beforeAll, expect, it } from "vitest";
import { predictShot } from "../../src/shared/predict/predict-shot.ts";
import type {
  ElasticLauncher,
  RamLauncher,
  RocketLauncher,
  Session,
} from "../../src/shared/session/schema.ts";
import { firstOf, oneOfEach } from "../support/one-of-each.ts";
import {
  type Field,
  headline,
  openField,
  openHeading,
  type Person,
  sitDown,
  typeMeasured,
  untilMeasured,
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

const withoutLauncher = (session: Session): Session => oneOfEach({ ...session, launcher: null });

/** The release speed that stands as predicted on top of the ledger, m/s. */
async function predictedSpeed(): Promise<number> {
  const text = await person.page.locator("[data-headline=releaseSpeed] .headline-model").textContent();
  return Number(/predicted ([\d.]+)/.exec(text ?? "")?.[1]);
}

/** Types into a table of points and leaves it. */
async function typeTable(label: string, text: string): Promise<void> {
  const table = person.page.getByLabel(label, { exact: true });
  await table.fill(text);
  await table.blur();
}

async function settled(): Promise<void> {
  await untilSaved(person.page);
  await untilMeasured(person.page);
}

it("describes a valve by the points of its opening, rocket motors by a measured curve, refuses one out of order by its line, and brings a removed launcher back", async () => {
  person = await sitDown(field, { session: withoutLauncher });
  const { page } = person;
  await openHeading(page, "model");
  const model = page.locator("[data-step=model]");
  await page.getByRole("button", { name: "Describe a compressed-air ram" }).click();
  await model.locator("details.more", { hasText: "How it opens" }).locator("summary").click();
  const opening = "Share of the opening time, share of the full area";
  await typeTable(opening, "0 0\n0.6 0.1\n0.5 0.9\n1 1");
  await model.getByText("Line 3: the share of the opening time is 0.5. It must be above 0.6").waitFor();
  await typeTable(opening, "0 0\n0,5 0,1\n0,6 0,9\n1 1");
  await model.getByText("by 4 points").waitFor();
  await settled();
  expect((firstOf(await person.saved()).launcher as RamLauncher).openingCurve?.[1]).toEqual([0.5, 0.1]);
  await page.getByRole("button", { name: "Remove the launcher" }).click();

  await page.getByRole("button", { name: "Describe rocket motors" }).click();
  await typeMeasured(page, "Travel until free of it", "1500", "5");
  await typeMeasured(page, "Propellant burnt", "30", "1");
  await page.getByText("measured curve").click();
  const curve = "Time in s, thrust in N";
  await typeTable(curve, "0 0\n0.10 90\n0.05 60\n1.0 0");
  await model
    .getByText(/Line 3 of the thrust curve is at 0.05 s, which is not after the 0.1 s before it/)
    .waitFor();
  await typeTable(curve, "0 0\n0.05 90\n0.10 60\n1.0 0");
  await page.getByText("class E (20 to 40 N·s)").waitFor();
  // Beside the field that is empty, until it is filled.
  await model.getByText(/drag area of the airframe is not known/).waitFor();
  await typeMeasured(page, "Drag area (coefficient times area)", "1.2", "0.4");
  await model.getByText(/drag area of the airframe is not known/).waitFor({ state: "detached" });
  await settled();

  const saved = await person.saved();
  const launcher = firstOf(saved).launcher as RocketLauncher;
  expect(launcher.motors[0]!.thrust).toEqual({
    by: "curve",
    points: [
      [0, 0],
      [0.05, 90],
      [0.1, 60],
      [1, 0],
    ],
  });
  const { prediction } = predictShot(saved, saved.shots[0]!);
  const predicted = prediction!.quantities.releaseSpeed!.value;
  await expect.poll(async () => Math.abs((await predictedSpeed()) - predicted)).toBeLessThan(0.06);
  expect(await model.locator(".notice", { hasText: "class" }).first().textContent()).toMatch(
    /The motor maker's ratings and instructions, local codes/,
  );

  // Where it comes down is told once it is known whether the air keeps its nose ahead.
  await openHeading(page, "verdict");
  const verdict = page.locator("[data-step=verdict]");
  await verdict.getByRole("heading", { name: "Flight that nobody steers" }).waitFor();
  await verdict.locator("details.more", { hasText: "Inputs of the flight" }).locator("summary").click();
  await typeMeasured(page, "Diameter of the body", "60", "1");
  await typeMeasured(page, "Centre of pressure behind the balance point", "-20", "4");
  await verdict.getByText(/it does not keep its nose ahead, and under thrust it may go anywhere/).waitFor();
  await typeMeasured(page, "Centre of pressure behind the balance point", "120", "8");
  const place = verdict.getByRole("row", { name: /^Comes down ahead of release, unflown/ });
  await place.waitFor();
  await verdict.locator("figure svg").waitFor();
  await typeMeasured(page, "Nobody within, down range", "6", "0.5");
  await verdict
    .locator(".notice.danger", { hasText: "beyond the 6.0 ± 0.5 m within which nobody is" })
    .waitFor();
  await settled();
  const flown = await person.saved();
  const { range } = predictShot(flown, flown.shots[0]!).prediction!.quantities;
  const shown = ((await place.locator("td").last().textContent()) ?? "").replaceAll("\u00a0", " ");
  expect(Math.abs(Number.parseFloat(shown) - range!.value)).toBeLessThan(range!.u);
  await openHeading(page, "model");

  await page.getByRole("button", { name: "Remove the launcher" }).click();
  await page.getByRole("button", { name: "Describe an elastic line" }).waitFor();
  await page.keyboard.press("Control+z");
  await page.getByRole("button", { name: "Remove the launcher" }).waitFor();
  await settled();
  expect(firstOf(await person.saved()).launcher).toEqual(launcher);
  expect(person.complaints).toEqual([]);
});

it("describes an elastic line by its two tables, and then asks the next shot of its draw", async () => {
  person = await sitDown(field, { session: withoutLauncher });
  const { page } = person;
  await openHeading(page, "model");
  const model = page.locator("[data-step=model]");
  await page.getByRole("button", { name: "Describe an elastic line" }).click();
  await model.getByText(/the predicted speed is an upper bound\. /).waitFor();
  await typeTable("Drawing out: extension in m, force in N", "0 0\n1 15\n0.5 10\n6 47");
  await model.getByText("Line 3: the extension is 0.5. It must be above 1 m").waitFor();
  await typeTable("Drawing out: extension in m, force in N", "0 0\n1 15\n2 24\n4 35\n6 47");
  await typeTable("Letting in: extension in m, force in N", "0 0\n1 10\n2 18\n4 29\n6 47");
  await typeMeasured(page, "Drawn out by", "5", "0.02");
  await typeMeasured(page, "Force, times the table", "1", "0.03");
  // A line pulls less on the way back: what it loses is said beside the tables.
  await model.getByText(/stays in it as heat/).waitFor();
  await settled();
  const saved = await person.saved();
  expect((firstOf(saved).launcher as ElasticLauncher).unloading?.at(-1)).toEqual([6, 47]);
  const { prediction } = predictShot(saved, saved.shots[0]!);
  const predicted = prediction!.quantities.releaseSpeed!.value;
  await expect.poll(async () => Math.abs((await predictedSpeed()) - predicted)).toBeLessThan(0.06);
  expect(await headline(page, "releaseSpeed")).not.toBeNull();

  // Drawn farther than the force was measured: no prediction, and the number that would do.
  await typeMeasured(page, "Drawn out by", "7", "0.02");
  await model.getByText("Enter a value that is at most 6 m, where the loading table ends.").waitFor();
  await typeMeasured(page, "Drawn out by", "5", "0.02");

  // What line and anchor take: said beside their fields once a limit is passed, and gone with it.
  await model.locator("details.more", { hasText: "Stretch, anchor and stop" }).locator("summary").click();
  await typeMeasured(page, "Free length of one line", "1.6", "0.02");
  const limit = model.getByLabel("Greatest stretch over free length", { exact: true });
  await limit.fill("3");
  await limit.press("Enter");
  await model.getByText(/stretched by 3\.1.*times its free length, above the/).waitFor();
  await limit.fill("4");
  await limit.press("Enter");
  await model.getByText(/times its free length, above/).waitFor({ state: "detached" });
  await settled();
  expect(firstOf(await person.saved()).launcher).toMatchObject({
    freeLengthM: { value: 1.6, u: 0.02 },
    stretchLimit: 4,
  });

  await openHeading(page, "next-shot");
  const wanted = page.getByLabel("Release speed wanted", { exact: true });
  await wanted.fill("14");
  await wanted.press("Enter");
  await page.locator(".next-answer").waitFor();
  const said = (await page.locator(".next-answer").textContent())!.replaceAll("\u00a0", " ");
  const drawM = Number(/^Draw the line out by ([\d.]+) ± [\d.]+ m for 14\.0 m\/s/.exec(said)?.[1]);
  const drawn = { ...(firstOf(saved).launcher as ElasticLauncher), drawM: { value: drawM, u: 0 } };
  const at = predictShot(oneOfEach({ ...saved, launcher: drawn }), saved.shots[0]!);
  // The draw is shown to a centimetre, which is worth 0.03 m/s.
  expect(Math.abs(at.prediction!.quantities.releaseSpeed!.value - 14)).toBeLessThan(0.04);
  expect(person.complaints).toEqual([]);
});
