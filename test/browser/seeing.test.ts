import { copyFile, readdir, utimes } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { frameNow, oneSitting, seePicture, sitDown, untilMeasured, untilSaved } from "./person.ts";

const sitting = oneSitting();

describe("the frame bar", () => {
  it("goes to a frame by its number, held inside the clip, and stays on Escape", async () => {
    const { page } = sitting.person;
    await seePicture(page);
    const type = async (text: string, key: string) => {
      await page.getByTestId("frame-number").click();
      await page.getByRole("textbox", { name: /^Frame, 0 to/ }).fill(text);
      await page.keyboard.press(key);
      return frameNow(page);
    };
    expect(await type("37", "Enter")).toBe(37);
    expect(await type("12", "Escape")).toBe(37);
    const last = await type("99999", "Enter");
    expect(last).toBeGreaterThan(100);
    expect(await page.getByTestId("frame-number").textContent()).toBe(`frame ${last} of ${last}`);
  });

  it("goes to first motion, peak and release, in this order in time", async () => {
    const { page } = sitting.person;
    await untilMeasured(page);
    const strip = page.getByRole("region", { name: "Strip" });
    const frames: number[] = [];
    for (const name of ["first motion", "peak", "release"]) {
      await strip.getByRole("button", { name, exact: true }).click();
      frames.push(await frameNow(page));
    }
    expect(frames).toEqual([...frames].sort((a, b) => a - b));
    expect(await page.getByTestId("strip-now").textContent()).toMatch(/^[+−]?0?\.?\d*\.?\d ms$/);
    expect(new Set(frames).size).toBe(3);
  });

  it("plays the push again and again, and from the clip's end again from its beginning", async () => {
    const { page } = sitting.person;
    await page.getByRole("button", { name: "View" }).click();
    await page.getByRole("combobox", { name: "Frames shown a second" }).selectOption("60");
    await page.getByRole("combobox", { name: "At the end" }).selectOption("push");
    const strip = page.getByRole("region", { name: "Strip" });
    await strip.getByRole("button", { name: "first motion" }).click();
    const first = await frameNow(page);
    await strip.getByRole("button", { name: "release", exact: true }).click();
    const release = await frameNow(page);
    await page.getByRole("button", { name: "Play", exact: true }).click();
    // It comes past the release, and is then found before it again: it has begun anew.
    await page.waitForFunction(
      ([from, to]) => {
        const now = Number(
          /\d+/.exec(document.querySelector("[data-testid=frame-number]")?.textContent ?? "")?.[0],
        );
        return now >= from! && now < to! - 3;
      },
      [first, release],
    );
    await page.getByRole("button", { name: "Pause" }).click();
    await page.getByRole("combobox", { name: "At the end" }).selectOption("no");
    await page.locator(".frame").focus();
    await page.keyboard.press("End");
    const last = await frameNow(page);
    await page.getByRole("button", { name: "Play", exact: true }).click();
    await page.waitForFunction(
      (end) =>
        Number(/\d+/.exec(document.querySelector("[data-testid=frame-number]")?.textContent ?? "")?.[0]) <
        end / 2,
      last,
    );
    await page.getByRole("button", { name: "Pause" }).click();
  });

  it("brightens what is seen, and shows what is in view when zoomed", async () => {
    const { page } = sitting.person;
    const filter = () =>
      page.locator(".frame > .picture").evaluate((canvas) => getComputedStyle(canvas).filter);
    await page.getByRole("slider", { name: "Brightness" }).fill("2");
    expect(await filter()).toBe("brightness(2) contrast(1)");
    await page.getByRole("button", { name: "As filmed" }).click();
    expect(await filter()).toBe("brightness(1) contrast(1)");
    await page.getByRole("button", { name: "View" }).click();
    expect(await page.locator(".minimap").count()).toBe(0);
    await page.locator(".frame").focus();
    for (let i = 0; i < 4; i++) await page.keyboard.press("+");
    const map = (await page.locator(".minimap").boundingBox())!;
    const left = async () => (await page.locator(".frame > .picture").boundingBox())!.x;
    await page.mouse.click(map.x + 8, map.y + map.height / 2);
    const atLeft = await left();
    await page.mouse.click(map.x + map.width - 8, map.y + map.height / 2);
    expect(await left()).toBeLessThan(atLeft - 200);
    await page.keyboard.press("0");
    await page.locator(".minimap").waitFor({ state: "detached" });
  });
});

it("widens, narrows and folds the ledger by keys, and keeps that", async () => {
  const { page, complaints } = sitting.person;
  const width = async () => (await page.locator(".pane").boundingBox())!.width;
  const edge = page.getByRole("separator", { name: "Width of the ledger" });
  const before = await width();
  await edge.focus();
  for (let i = 0; i < 4; i++) await page.keyboard.press("ArrowLeft");
  expect(await width()).toBeGreaterThan(before + 80);
  const wide = await width();
  await page.reload();
  await page.locator(".pane").waitFor();
  expect(await width()).toBeCloseTo(wide, 0);
  await page.getByRole("button", { name: "Fold the ledger away" }).click();
  expect(await page.locator(".ledger").isVisible()).toBe(false);
  await page.getByRole("button", { name: "Show the ledger" }).click();
  await edge.focus();
  await page.keyboard.press("Home");
  expect(await width()).toBeCloseTo(before, 0);
  expect(complaints).toEqual([]);
});

it.each([590, 1180, 1920])("keeps the picture and one row of zoom at %i px", async (px) => {
  const { page } = sitting.person;
  await page.setViewportSize({ width: px, height: 760 });
  const frame = (await page.locator(".frame").boundingBox())!;
  expect(frame.width).toBeGreaterThan(215);
  const zoom = await page
    .locator(".zoom button")
    .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().top));
  expect(new Set(zoom.map(Math.round)).size).toBe(1);
  const bar = await page.locator(".frame-bar").evaluate((one) => one.getBoundingClientRect().height);
  if (px >= 1180) expect(bar).toBeLessThan(40); // one row
});

it("adds all clips of a folder at once in the order they were filmed, as one step, and those that come later", async () => {
  const person = await sitDown(sitting.field, { bare: true });
  try {
    const { page, folder } = person;
    const clip = (await page.locator(".shot").first().getAttribute("title")) ?? "";
    expect(clip).toBe("Shot 1"); // the only clip is taken by itself
    const name = (await readdir(folder)).find((one) => one.endsWith(".mp4"));
    const from = join(folder, name!);
    for (const [to, day] of [
      ["b.mp4", 3],
      ["a.mp4", 2],
    ] as const) {
      await copyFile(from, join(folder, to));
      await utimes(join(folder, to), day * 86_400, day * 86_400);
    }
    await page.getByRole("button", { name: "Add all 2 clips" }).click();
    await untilSaved(page);
    expect((await person.saved()).shots.map((shot) => [shot.name, shot.clip])).toEqual([
      ["Shot 1", name],
      ["Shot 2", "a.mp4"],
      ["Shot 3", "b.mp4"],
    ]);
    await page.keyboard.press("Control+z");
    await untilSaved(page);
    expect((await person.saved()).shots).toHaveLength(1);
    await page.getByRole("button", { name: "Add a shot" }).click();
    expect(await page.locator(".clip-choice").allTextContents()).toEqual([
      expect.stringMatching(/^a\.mp4Jan 0?3|^a\.mp4/),
      expect.stringMatching(/^b\.mp4/),
      expect.stringMatching(/\(again\)/),
    ]);
  } finally {
    await person.leave();
  }
});
