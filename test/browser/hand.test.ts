import { beforeEach, expect, it } from "vitest";
import {
  frameNow,
  goToFrame,
  oneSitting,
  onPage,
  openHeading,
  type Person,
  seePicture,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting();
const START = 110; // both targets are marked in it and in the frames before

beforeEach(async () => {
  await seePicture(sitting.person.page);
  await goToFrame(sitting.person.page, START);
  await seePicture(sitting.person.page);
});

it("steps by 1 with the arrows, by 10 with Shift, to the ends with Home and End", async () => {
  const { person } = sitting;
  const { page } = person;
  expect(await frameNow(person.page)).toBe(START);
  await page.keyboard.press("ArrowRight");
  expect(await frameNow(person.page)).toBe(START + 1);
  await page.keyboard.press("Shift+ArrowLeft");
  expect(await frameNow(person.page)).toBe(START - 9);
  await page.keyboard.press("Home");
  expect(await frameNow(person.page)).toBe(0);
  await page.keyboard.press("ArrowLeft");
  expect(await frameNow(person.page)).toBe(0);
  await page.keyboard.press("End");
  expect(await frameNow(person.page)).toBe(177);
  await seePicture(page);
});

it("nudges the mark by 0.1 px with Alt and 1 px with Shift too, as one step of undo", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "marks");
  const frame = await frameNow(person.page);
  const noseOf = (session: Awaited<ReturnType<Person["saved"]>>) =>
    session.shots[0]!.marks.find((mark) => mark.frame === frame && mark.pointId === "nose")!;
  const before = noseOf(await person.saved());
  await page.keyboard.press("Alt+ArrowRight");
  await page.keyboard.press("Alt+ArrowRight");
  await page.keyboard.press("Alt+Shift+ArrowUp");
  await untilSaved(page);
  const after = noseOf(await person.saved());
  expect(after.x).toBeCloseTo(before.x + 0.2, 1);
  expect(after.y).toBeCloseTo(before.y - 1, 1);
  await page.keyboard.press("Control+z");
  await untilSaved(page);
  expect(noseOf(await person.saved())).toEqual(before);
  await page.keyboard.press("Control+Shift+z");
  await untilSaved(page);
  expect(noseOf(await person.saved())).toEqual(after);
});

it("zooms at the pointer with the wheel: the place under it stays under it", async () => {
  const { person } = sitting;
  const { page } = person;
  const pointer = { x: 700, y: 320 }; // whole css px: a wheel event knows no fractions
  const box = await page.locator(".frame .picture").boundingBox();
  const place = [
    ((pointer.x - box!.x) / box!.width) * 1920,
    ((pointer.y - box!.y) / box!.height) * 1080,
  ] as const;
  await page.mouse.move(pointer.x, pointer.y);
  const said = await page.getByTestId("picture-size").textContent();
  await page.mouse.wheel(0, -600);
  await expect.poll(() => page.getByTestId("picture-size").textContent()).not.toBe(said);
  const after = await onPage(page, place);
  expect(Math.hypot(after.x - pointer.x, after.y - pointer.y)).toBeLessThan(0.1);
  await page.keyboard.press("0");
  const again = await onPage(page, place);
  expect(Math.hypot(again.x - pointer.x, again.y - pointer.y)).toBeLessThan(0.01);
});

it("places a mark by keyboard alone, where it is likely, and is left by Escape and Tab", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "marks");
  const frame = await frameNow(person.page);
  await page.locator(".frame").focus();
  await page.keyboard.press("1");
  const marks = (await person.saved()).shots[0]!.marks;
  const old = marks.find((mark) => mark.frame === frame && mark.pointId === "nose")!;
  await page.keyboard.press("Delete");
  expect(await page.getByTestId("marks-here").textContent()).not.toContain("nose");
  await page.keyboard.press("Enter");
  await untilSaved(page);
  const placed = (await person.saved()).shots[0]!.marks.find(
    (m) => m.frame === frame && m.pointId === "nose",
  )!;
  // straight on from the two marks before
  expect(Math.hypot(placed.x - old.x, placed.y - old.y)).toBeLessThan(12);
  await page.keyboard.press("Tab");
  expect(await page.locator(".chip[aria-pressed=true]").textContent()).toContain("tail");
  expect(await page.evaluate(() => document.activeElement?.className)).toContain("frame");
  await page.keyboard.press("Escape");
  await page.keyboard.press("Tab");
  expect(await page.evaluate(() => document.activeElement?.className)).not.toContain("frame ");
});

it("gives every control a name and shows where the focus is", async () => {
  const { person } = sitting;
  const { page } = person;
  for (const step of ["clip", "clock", "scale", "marks", "motion", "model", "verdict"]) {
    await openHeading(page, step);
    await page.evaluate(() => {
      for (const details of document.querySelectorAll("details")) details.open = true;
    });
    const nameless = await page.evaluate(() =>
      [...document.querySelectorAll("button, input, select, textarea, [role=slider], [tabindex]")]
        .filter((element) => element instanceof HTMLElement && element.offsetParent !== null)
        .filter((element) => {
          const labelled = element.getAttribute("aria-label") ?? element.textContent?.trim();
          const labels = (element as HTMLInputElement).labels;
          return !labelled && !(labels && labels.length > 0);
        })
        .map((element) => element.outerHTML.slice(0, 120)),
    );
    expect(nameless, step).toEqual([]);
  }
  for (let i = 0; i < 12; i++) {
    await page.keyboard.press("Tab");
    const outlined = await page.evaluate(() => {
      const style = getComputedStyle(document.activeElement!);
      return document.activeElement === document.body || style.outlineStyle !== "none";
    });
    expect(outlined).toBe(true);
  }
});

it("plays on Space and stops at the end of the clip", async () => {
  const { person } = sitting;
  const { page } = person;
  await page.keyboard.press("End");
  await page.keyboard.press("Shift+ArrowLeft");
  await seePicture(page);
  await page.locator(".frame").focus();
  await page.keyboard.press("Space");
  await expect.poll(() => frameNow(person.page)).toBe(177);
  await expect.poll(() => page.locator(".play").textContent()).toBe("Play");
});

it("scrubs on the strip by dragging", async () => {
  const { person } = sitting;
  const { page } = person;
  const box = (await page.locator(".strip-box").boundingBox())!;
  await page.mouse.move(box.x + 40, box.y + 40);
  await page.mouse.down();
  const first = await frameNow(person.page);
  await page.mouse.move(box.x + box.width - 40, box.y + 40, { steps: 12 });
  const last = await frameNow(person.page);
  await page.mouse.up();
  expect(last - first).toBeGreaterThan(130);
  await seePicture(page);
});
