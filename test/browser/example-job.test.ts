import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { beforeEach, expect, it } from "vitest";
import {
  clickPicture,
  frameNow,
  goToFrame,
  headline,
  oneSitting,
  onPage,
  openHeading,
  type Person,
  seePicture,
  typeMeasured,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting({ unmeasured: true });
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

/** Truth of a quantity of the example. */
async function truth(name: string): Promise<number> {
  const { shots } = JSON.parse(await readFile(join(sitting.field.example, "truth.json"), "utf8"));
  return shots[0].quantities[name].value;
}

async function untilHeadline(name: string, fits: (value: number | null) => boolean): Promise<number | null> {
  await expect.poll(async () => fits(await headline(person.page, name))).toBe(true);
  return headline(person.page, name);
}

it("opens the example with four headline results near the truth, quietly, and asks only its own host", async () => {
  const speed = await untilHeadline("releaseSpeed", (v) => v !== null);
  expect(Math.abs(speed! / (await truth("releaseSpeed")) - 1)).toBeLessThan(0.007);
  const degrees = 180 / Math.PI;
  expect(
    Math.abs((await headline(person.page, "launchAngle"))! - (await truth("launchAngle")) * degrees),
  ).toBeLessThan(0.5);
  const rate = (await truth("pitchRateAtRelease")) * degrees;
  expect(Math.abs((await headline(person.page, "pitchRateAtRelease"))! - rate)).toBeLessThan(4);
  expect(
    Math.abs((await headline(person.page, "peakAcceleration"))! / (await truth("peakAcceleration")) - 1),
  ).toBeLessThan(0.07);
  await seePicture(person.page);
  expect(await person.page.locator("[data-step=motion] figure svg").count()).toBe(5);
  expect(person.complaints).toEqual([]);
});

it("doubles the release speed when the rod is said to be twice as long, undoes it, and keeps it over a reload", async () => {
  const { page } = person;
  const before = (await untilHeadline("releaseSpeed", (v) => v !== null))!;
  await openHeading(page, "scale");
  await typeMeasured(page, "Length between the ends", "1999.42", "1");
  const doubled = (await untilHeadline("releaseSpeed", (v) => v !== null && v > 1.5 * before))!;
  expect(doubled / before).toBeCloseTo(2, 2);
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.scale!.rodM.value).toBeCloseTo(1.99942, 9);
  await page.reload();
  await untilHeadline("releaseSpeed", (v) => v === doubled);
  await openHeading(page, "scale");
  await typeMeasured(page, "Length between the ends", "999.71", "0.5");
  await untilHeadline("releaseSpeed", (v) => v !== null && Math.abs(v - before) < 0.01);
  await page.getByRole("button", { name: "Undo" }).click();
  await untilHeadline("releaseSpeed", (v) => v === doubled);
  await page.getByRole("button", { name: "Redo" }).click();
  await untilHeadline("releaseSpeed", (v) => v !== doubled);
  expect(person.complaints).toEqual([]);
});

it("sets the scale by clicking both ends and typing the length, in either order", async () => {
  const { page } = person;
  const before = (await untilHeadline("releaseSpeed", (v) => v !== null))!;
  const { scale } = (await person.saved()).shots[0]!;
  await seePicture(page);
  await openHeading(page, "scale");
  await page.getByRole("button", { name: "Remove" }).first().click();
  await untilHeadline("releaseSpeed", (v) => v === null);
  await expect.poll(() => page.locator(".headline-next").textContent()).toContain("no scale");

  await clickPicture(page, scale!.a);
  await clickPicture(page, scale!.b);
  expect(await page.locator(".frame-says").textContent()).toContain("Type the rod's length");
  await typeMeasured(page, "Length between the ends", "999.71", "0.5");
  const after = (await untilHeadline("releaseSpeed", (v) => v !== null))!;
  // each click lands within a css px of 2.2 px: 0.3 % of 700 px
  expect(Math.abs(after / before - 1)).toBeLessThan(0.005);

  await page.getByRole("button", { name: "Remove" }).first().click();
  await untilHeadline("releaseSpeed", (v) => v === null);
  await typeMeasured(page, "Length between the ends", "999.71", "0.5");
  await clickPicture(page, scale!.a);
  await clickPicture(page, scale!.b);
  await untilHeadline("releaseSpeed", (v) => v !== null && Math.abs(v / before - 1) < 0.005);
  expect(person.complaints).toEqual([]);
});

it("moves a rod's end by dragging it", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "scale");
  const [x, y] = (await person.saved()).shots[0]!.scale!.b;
  const from = await onPage(page, [x, y]);
  const to = await onPage(page, [x + 100, y]);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move((from.x + to.x) / 2, from.y, { steps: 4 });
  await page.mouse.move(to.x, to.y, { steps: 4 });
  await page.mouse.up();
  await untilSaved(page);
  const moved = (await person.saved()).shots[0]!.scale!.b;
  expect(Math.abs(moved[0] - x - 100)).toBeLessThan(1.2); // half a css px at 46 %
  expect(Math.abs(moved[1] - y)).toBeLessThan(1.2);
});

it("clears a mark, clicks it anew at the same place, and goes on to the next frame", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  await goToFrame(page, 110);
  await page.keyboard.press("1");
  const frame = await frameNow(page);
  const marks = (await person.saved()).shots[0]!.marks;
  const mark = marks.find((one) => one.pointId === "nose" && one.frame === frame)!;
  await page.locator(".frame").focus();
  await page.keyboard.press("Delete");
  await untilSaved(page);
  const without = (await person.saved()).shots[0]!.marks;
  expect(without).toEqual(marks.filter((one) => one !== mark));
  await clickPicture(page, [mark.x, mark.y]);
  expect(await page.getByTestId("frame-number").textContent()).toContain(`frame ${frame + 1} `);
  await untilSaved(page);
  const again = (await person.saved()).shots[0]!.marks.find(
    (one) => one.pointId === "nose" && one.frame === frame,
  )!;
  expect(Math.hypot(again.x - mark.x, again.y - mark.y)).toBeLessThan(1.6); // half a css px each way at 46 %
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks).toEqual(marks);
  expect(person.complaints).toEqual([]);
});

it("names a mark that lies far off, on the strip and under Marks, and goes there", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  await goToFrame(page, 110);
  await page.keyboard.press("2");
  const frame = await frameNow(page);
  for (let i = 0; i < 8; i++) await page.keyboard.press("Alt+Shift+ArrowUp");
  const misfit = page.locator("[data-step=marks] .notice.warning", { hasText: "tail at" });
  await misfit.waitFor();
  expect(await page.locator(".strip-misfit").textContent()).toMatch(/^tail at .* u off: look again$/);
  for (const named of [page.locator(".strip-misfit"), misfit.getByRole("button")]) {
    await page.keyboard.press("Home");
    await named.click();
    expect(await frameNow(page)).toBe(frame);
  }
});

it("keeps what cannot stand in its field with cause and remedy, and the document as it was", async () => {
  const { page } = person;
  await openHeading(page, "clock");
  const group = page.getByRole("group", { name: "Capture rate", exact: true });
  const saved = await person.saved();
  await group.locator("input").first().fill("fast");
  await group.locator("input").first().press("Enter");
  await group.getByRole("alert").waitFor();
  expect(await group.getByRole("alert").textContent()).toMatch(/“fast” is not a number\. Type digits/);
  await openHeading(page, "marks");
  await openHeading(page, "clock");
  expect(await group.locator("input").first().inputValue()).toBe("fast");
  expect(await person.saved()).toEqual(saved);
  await group.locator("input").first().fill("-960");
  await group.locator("input").first().press("Enter");
  expect(await group.getByRole("alert").textContent()).toMatch(/It must be above zero/);
});

it("makes the write-up and lists its files", async () => {
  const { page } = person;
  await openHeading(page, "verdict");
  await page.getByRole("button", { name: "Make the write-up" }).click();
  await page.locator(".files li").first().waitFor();
  const files = await page.locator(".files li").allInnerTexts();
  expect(files.some((file) => file.endsWith("report.html"))).toBe(true);
  for (const file of files) await readFile(join(person.folder, file));
});
