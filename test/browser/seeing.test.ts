import { copyFile, readdir, readFile, utimes } from "node:fs/promises";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { TruthSchema } from "../../src/shared/results/results-schema.ts";
import { expectAccessible } from "./accessible.ts";
import {
  frameNow,
  headline,
  oneSitting,
  openHeading,
  seePicture,
  sitDown,
  untilMeasured,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting();

it("opens the example on what is true of it, and says how far what is measured lies from that", async () => {
  const { page, folder } = sitting.person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(page);
  const truth = TruthSchema.parse(JSON.parse(await readFile(join(folder, "truth.json"), "utf8")));
  const note = page.getByRole("complementary", { name: "About this example" });
  expect(await note.locator("b").first().textContent()).toBe(
    `${truth.shots[0]!.quantities.releaseSpeed!.value.toPrecision(4)} m/s`,
  );
  const off = Number(/lies ([\d.]+) times its ±/.exec((await note.textContent())!)![1]);
  expect(off).toBeLessThan(2.5);
  // Its answers have come, and the top of the page is still what is seen.
  expect(await page.locator("main.ledger").evaluate((main) => main.scrollTop)).toBe(0);
  await note.getByRole("button", { name: "Verdict" }).click();
  await page.locator("[data-step=verdict].open").waitFor();
  await note.getByRole("button", { name: "Close" }).click();
  await note.waitFor({ state: "detached" });
});

describe("the guide", () => {
  it("opens by ? at the keys, scrolls by keys, holds the keys of the frame off, and closes where one was", async () => {
    const { page, complaints } = sitting.person;
    const guide = page.getByRole("dialog", { name: "Guide" });
    await page.locator(".frame").focus();
    const frame = await frameNow(page);
    await page.keyboard.press("?");
    const at = () => page.evaluate(() => document.activeElement?.textContent);
    expect(await at()).toBe("Keys");
    await expectAccessible(page);
    const article = guide.getByRole("article", { name: "Text of the guide" });
    const top = () => article.evaluate((one) => one.scrollTop);
    const before = await top();
    await page.keyboard.press("PageDown");
    await expect.poll(top).toBeGreaterThan(before);
    await guide.locator(".guide-head h2").click(); // leaves no focus
    await page.keyboard.press("ArrowRight");
    for (let i = 0; i < 70; i++) await page.keyboard.press("Tab");
    expect(await page.evaluate(() => document.activeElement?.closest("dialog, body")?.className)).toBe(
      "guide",
    );
    expect(
      await guide
        .locator("img")
        .evaluateAll((all) => all.every((one) => (one as HTMLImageElement).naturalWidth > 0)),
    ).toBe(true);
    await page.keyboard.press("Escape");
    await guide.waitFor({ state: "hidden" });
    expect(await frameNow(page)).toBe(frame);
    expect(await page.evaluate(() => document.activeElement?.className)).toContain("frame");
    expect(complaints).toEqual([]);
  });

  it("finds words, and leads from a statistical word on the page to what it means", async () => {
    const { page } = sitting.person;
    const guide = page.getByRole("dialog", { name: "Guide" });
    await page.getByRole("button", { name: "Verdict in the guide" }).click();
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toBe("6. Compare");
    const contents = guide.getByRole("navigation", { name: "Contents of the guide" });
    const all = await contents.getByRole("button").count();
    await guide.getByRole("searchbox").fill("chi-square");
    expect(await contents.getByRole("button").allTextContents()).toEqual(["What the words mean"]);
    expect(await page.evaluate(() => CSS.highlights.get("guide-found")?.size)).toBe(1);
    await guide.getByRole("searchbox").fill("no such words at all");
    expect(await guide.getByRole("status").textContent()).toBe("No part holds these words.");
    await guide.getByRole("searchbox").fill("");
    expect(await contents.getByRole("button").count()).toBe(all);
    await guide.getByRole("button", { name: "Close" }).click();
    const word = page.locator(".budget").getByRole("button", { name: "variance" });
    expect(await word.getAttribute("title")).toMatch(/^The ± squared/);
    await word.click();
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.querySelector("td")?.textContent))
      .toBe("variance");
    await page.keyboard.press("Escape");
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe("variance");
  });
});

it("shows no face that a machine finds inaccessible: headings, a large figure, the day, a narrow window", async () => {
  const { page } = sitting.person;
  for (const step of ["clock", "scale", "marks", "model", "motion"]) {
    await openHeading(page, step);
    await expectAccessible(page, step === "model" ? "Dark" : undefined);
  }
  await page.getByRole("button", { name: /^Larger: Speed/ }).click();
  await page.locator(".large-figure svg").waitFor();
  await expectAccessible(page, "Dark");
  await page.getByRole("button", { name: "The day" }).click();
  await page.getByRole("checkbox", { name: /Shot 1/ }).check();
  await page.locator(".day figure svg").first().waitFor();
  await expectAccessible(page, "Dark");
  await page.getByRole("checkbox", { name: /Shot 1/ }).uncheck();
  await page.getByRole("button", { name: "The day" }).click();
  const before = page.viewportSize()!;
  await page.setViewportSize({ width: 590, height: 760 });
  await expectAccessible(page);
  await page.setViewportSize(before);
});

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

it("keeps the picture in a low window, and scrolls to the strip", async () => {
  const { page } = sitting.person;
  await page.setViewportSize({ width: 590, height: 380 });
  expect((await page.locator(".frame").boundingBox())!.height).toBeGreaterThan(150);
  const strip = page.getByRole("region", { name: "Strip" });
  await strip.getByRole("button", { name: "peak", exact: true }).click();
  expect((await strip.boundingBox())!.y).toBeLessThan(380);
});

it("cuts no headline, no key and no name on the strip off", async () => {
  const { page } = sitting.person;
  const right = (selector: string) =>
    page
      .locator(selector)
      .evaluateAll((all) => all.map((one) => Math.ceil(one.getBoundingClientRect().right)));
  for (const width of [640, 1180]) {
    await page.setViewportSize({ width, height: 400 });
    const [ledger] = await right(".ledger-head");
    for (const one of await right(".headline-value, .headline-model"))
      expect(one).toBeLessThanOrEqual(ledger!);
    await page.locator(".strip-paper .strong").waitFor();
    const beyond = () =>
      page.locator(".strip-paper").evaluate((paper) => {
        const edge = paper.getBoundingClientRect().right;
        const names = [...paper.querySelectorAll("text")];
        return Math.max(...names.map((name) => name.getBoundingClientRect().right - edge));
      });
    await expect.poll(beyond).toBeLessThanOrEqual(1); // once it is drawn for its new width
    const keys = await page.locator(".strip-keys").evaluate((line) => {
      const { right, bottom } = line.getBoundingClientRect();
      const boxes = [...line.children].map((key) => key.getBoundingClientRect());
      return boxes.filter((box) => box.top < bottom && box.right > right + 1).length;
    });
    expect(keys).toBe(0);
  }
  // At 200 % a large figure takes the room of what is below the frame too.
  await page.setViewportSize({ width: 640, height: 400 });
  await openHeading(page, "motion");
  await page.getByText(/^Speed of Shot 1, 3.5 bar against.*: there is no room to draw it here\.$/).waitFor();
  await page.getByRole("button", { name: /^Larger: Speed of Shot 1, 3.5 bar against/ }).click();
  await page.locator(".large-box svg").waitFor();
  const bottom = (selector: string) =>
    page.locator(selector).evaluate((one) => one.getBoundingClientRect().bottom);
  const [figure, reading] = [await bottom(".large-box"), await bottom(".large-reading")];
  expect(reading).toBeGreaterThan(figure);
  expect(await bottom(".large-value:last-child")).toBeLessThanOrEqual(reading + 1);
  await page.keyboard.press("Escape");
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
    await expectAccessible(page); // with all still to do
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
