import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { DRAWN_TRUTH, writeDrawnLaunch } from "../support/drawn-launch.ts";
import {
  clickPicture,
  type Field,
  frameNow,
  headline,
  onPage,
  openField,
  type Person,
  seePicture,
  sitDown,
  untilMeasured,
  untilSaved,
} from "./person.ts";

/*
 * The first shot of a day, of a clip that is not the example: from opening it to the four results, by the
 * mouse alone but for what is typed into fields, and by the keyboard alone. A click, a key, and a value typed
 * and finished by Enter are an action each.
 */
const MOST_ACTIONS = 10;
const LENGTH_MM = (1000 * DRAWN_TRUTH.boardM).toFixed(1);

let field: Field;
let drawn: string;
beforeAll(async () => {
  field = await openField();
  drawn = await mkdtemp(join(tmpdir(), "loftmark-drawn-"));
  await writeDrawnLaunch(join(drawn, "launch.mp4"), field.ffmpegPath);
});
afterAll(async () => {
  await field?.close();
  await rm(drawn, { recursive: true, force: true });
});

/** A person at the drawn clip, who waits until it was looked through. */
async function open(): Promise<Person> {
  const person = await sitDown({ ...field, example: drawn });
  const { page } = person;
  await page.locator("[data-step=clock] [aria-expanded=true]").waitFor();
  await seePicture(page);
  await page.getByText("first motion seen").waitFor();
  await page
    .getByText("Found a rod, 4 targets and a hanging line, to be taken under Scale and Marks.")
    .waitFor();
  // opened just before first motion
  const opened = await frameNow(page);
  const firstMoving = Math.ceil(DRAWN_TRUTH.startsS * DRAWN_TRUTH.rateHz);
  expect(opened).toBeLessThan(firstMoving);
  expect(opened).toBeGreaterThanOrEqual(firstMoving - 4);
  return person;
}

/** The four results as they are when everything is settled, held against the truth. */
async function results(person: Person, actions: number, how: string): Promise<void> {
  const { page } = person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await page.locator(".job").first().waitFor({ state: "detached" });
  await untilMeasured(page);
  await untilSaved(page);
  const found = {
    releaseSpeed: await headline(page, "releaseSpeed"),
    peakAcceleration: await headline(page, "peakAcceleration"),
    pitchRateAtRelease: await headline(page, "pitchRateAtRelease"),
    launchAngle: await headline(page, "launchAngle"),
  };
  console.log(`${how}: ${actions} actions, ${JSON.stringify(found)}`);
  expect(actions).toBeLessThanOrEqual(MOST_ACTIONS);
  expect(Math.abs(found.releaseSpeed! / DRAWN_TRUTH.releaseSpeed - 1)).toBeLessThan(0.01);
  expect(Math.abs(found.peakAcceleration! / DRAWN_TRUTH.peakAcceleration - 1)).toBeLessThan(0.1);
  expect(Math.abs(found.launchAngle! - (180 * DRAWN_TRUTH.launchAngle) / Math.PI)).toBeLessThan(0.5);
  expect(Math.abs(found.pitchRateAtRelease!)).toBeLessThan(5);
  const [shot] = (await person.saved()).shots;
  expect(shot!.scale).toMatchObject({ snapped: true });
  const hands = shot!.marks.filter(({ by }) => by === "hand");
  expect(hands.map(({ pointId }) => pointId).sort()).toEqual(["nose", "tail"]);
  for (const { pointId, x, y, u, snapped } of hands) {
    const [tx, ty] = DRAWN_TRUTH[pointId as "nose" | "tail"];
    expect(Math.hypot(x - tx, y - ty)).toBeLessThan(0.1);
    expect([snapped, u < 0.1]).toEqual([true, true]);
  }
  expect(person.complaints).toEqual([]);
}

it("comes to the four results within ten actions by the mouse alone, and nothing found counts before it is taken", async () => {
  const person = await open();
  try {
    const { page } = person;
    let actions = 0;
    const click = async (place: readonly [number, number]) => {
      actions++;
      await clickPicture(page, place);
    };
    const type = async (label: string, text: string) => {
      const input = page.getByRole("group", { name: label, exact: true }).locator("input").first();
      if (!(await input.evaluate((one) => one === document.activeElement))) {
        actions++;
        await input.click();
      }
      actions++;
      await page.keyboard.type(text);
      await page.keyboard.press("Enter");
    };
    await untilSaved(page);
    const { scale, plumb, marks } = (await person.saved()).shots[0]!;
    expect({ scale, plumb, marks }).toEqual({ scale: null, plumb: null, marks: [] });

    await type("Capture rate", String(DRAWN_TRUTH.rateHz));
    const [[ax, ay], [bx, by]] = [DRAWN_TRUTH.boardA, DRAWN_TRUTH.boardB];
    await click([(ax + bx) / 2, (ay + by) / 2]); // the rod between its targets
    await type("Length between the ends", LENGTH_MM);
    await click([596, 180]); // the cord
    await click([DRAWN_TRUTH.nose[0] + 3, DRAWN_TRUTH.nose[1] - 2]);
    await click([DRAWN_TRUTH.tail[0] - 4, DRAWN_TRUTH.tail[1] + 1]);
    actions++;
    await page.getByRole("button", { name: "Follow all" }).click();
    await results(person, actions, "by the mouse");
  } finally {
    await person.leave();
  }
});

it("comes to them by the keyboard alone, and places, chooses and moves the ends of a rod", async () => {
  const person = await open();
  try {
    const { page } = person;
    let actions = 0;
    const press = async (key: string) => {
      actions++;
      await page.keyboard.press(key);
    };
    const type = async (text: string) => {
      actions++;
      await page.keyboard.type(text);
      await page.keyboard.press("Enter");
    };
    await type(String(DRAWN_TRUTH.rateHz));
    await page.getByText(/Found a rod and 4 targets/).waitFor();
    await press("Enter");
    await type(LENGTH_MM);
    await page.getByText(/Found a hanging line/).waitFor();
    await press("Enter");
    await page.getByText(/Click the nose\. Found 2 targets/).waitFor();
    await press("Enter");
    await page.getByText(/Click the tail\. Found a target/).waitFor();
    await press("Enter");
    await press("a");
    await results(person, actions, "by the keyboard");
    await byKeysAlone(page, person);
  } finally {
    await person.leave();
  }
});

/** The rod again without any proposal: its ends placed, chosen and moved, coarsely and finely. */
async function byKeysAlone(page: Page, person: Person): Promise<void> {
  const frame = page.locator(".frame");
  // Tab goes round the points here, says so, and leaves the frame after Escape
  await frame.focus();
  await page.keyboard.press("Tab");
  await page.getByText("Tab: the next point. Escape, then Tab: out of the frame.").waitFor();
  expect(await frame.evaluate((one) => one === document.activeElement)).toBe(true);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Tab");
  expect(await frame.evaluate((one) => one === document.activeElement)).toBe(false);
  // the heading Scale, by Tab and Enter
  await page.locator("[data-step=scale] h2 button").focus();
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Pick both ends again" }).first().focus();
  await page.keyboard.press("Enter");
  await frame.focus();
  await page.keyboard.press("Shift+Enter"); // one end in the middle of the view
  const before = await onPage(page, [0, 0]);
  await page.keyboard.press("Control+ArrowRight"); // the view goes right, so the picture left
  expect((await onPage(page, [0, 0])).x).toBeLessThan(before.x);
  await page.keyboard.press("Shift+Enter"); // the other end
  await untilSaved(page);
  const placed = (await person.saved()).shots[0]!.scale!;
  expect(placed).not.toHaveProperty("snapped");
  expect(placed.b[0]).toBeGreaterThan(placed.a[0] + 20);
  await frame.focus();
  await page.keyboard.press("Escape");
  await page.keyboard.press("e"); // the first end
  await page.keyboard.press("Control+Shift+ArrowLeft");
  await page.keyboard.press("Alt+Shift+ArrowUp");
  await page.keyboard.press("Alt+ArrowUp");
  await untilSaved(page);
  const moved = (await person.saved()).shots[0]!.scale!;
  expect(moved.a[0] - placed.a[0]).toBeCloseTo(-10, 2);
  expect(moved.a[1] - placed.a[1]).toBeCloseTo(-1.1, 2);
  expect(moved.b).toEqual(placed.b);
}
