import { cp } from "node:fs/promises";
import type { Locator, Page } from "playwright-core";
import { expect, inject, it } from "vitest";
import { findFfmpeg } from "../../tools/find-program.mjs";
import { addSecondClip, SMALLER } from "../support/second-clip.ts";
import { expectAccessible } from "./accessible.ts";
import { frameNow, oneSitting, seePicture } from "./person.ts";

/** The example, filmed once more at half its rate in smaller pictures, and a shot without marks. */
const sitting = oneSitting({
  async fill(folder) {
    await cp(inject("exampleFolder"), folder, { recursive: true, preserveTimestamps: true });
    addSecondClip(folder, findFfmpeg()!.path);
  },
  holdsExample: true,
});

const part = (page: Page) => page.getByRole("region", { name: "Pictures", exact: true });
const captions = (page: Page) => part(page).locator("figcaption").allTextContents();
const timeLine = (page: Page) => part(page).getByRole("slider", { name: "Time" });
const picture = (page: Page, side: 0 | 1) => part(page).locator(".beside-picture").nth(side);

/** The day with both measured shots chosen and their pictures shown, at release. */
async function picturesShown(): Promise<Page> {
  const { page } = sitting.person;
  const day = page.getByRole("button", { name: "The day" });
  if ((await day.getAttribute("aria-pressed")) !== "true") await day.click();
  await page.waitForFunction(
    () =>
      [...document.querySelectorAll("td[data-column=release-speed]")].filter((cell) =>
        /\d/.test(cell.textContent ?? ""),
      ).length === 2,
  );
  for (const name of ["Full rate", "Half rate"])
    await page.getByRole("checkbox", { name: `Draw the curves of ${name}` }).check();
  const show = part(page).getByRole("button", { name: "Show", exact: true });
  if ((await show.count()) > 0) await show.click();
  await part(page)
    .getByRole("combobox", { name: /^(Left|Under)/ })
    .selectOption("Full rate");
  await part(page)
    .getByRole("combobox", { name: /^(right|over)/ })
    .selectOption("Half rate");
  await part(page).getByRole("button", { name: "To release" }).click();
  await bothSeen(page);
  return page;
}

async function framesShown(page: Page): Promise<number[]> {
  return (await captions(page)).map((text) => Number(/frame (\d+)/.exec(text)![1]));
}

/** Waits until both pictures are those of the frames that their captions name. */
async function bothSeen(page: Page): Promise<void> {
  await page.waitForFunction(() => {
    const all = [...document.querySelectorAll(".beside-one")];
    return (
      all.length === 2 &&
      all.every((one) => {
        const named = /frame (\d+)/.exec(one.querySelector("figcaption")!.textContent!)![1];
        return one.querySelector(".beside-picture")!.getAttribute("data-shown") === named;
      })
    );
  });
}

/** ms from release of each frame, as its caption says. */
async function timesSaid(page: Page): Promise<number[]> {
  return (await captions(page)).map((text) =>
    Number(/([+−]?[\d.]+) ± [\d.]+ ms from release$/.exec(text)![1]!.replace("−", "-")),
  );
}

const pixelsOf = (canvas: Locator) => canvas.evaluate((one: HTMLCanvasElement) => one.toDataURL());

it("shows two clips' frames at the same time from release, each with its own time, and how far they are apart", async () => {
  const page = await picturesShown();
  const before = await framesShown(page);
  expect(before[1]! * 2 - before[0]!).toBeGreaterThanOrEqual(-1);
  expect(before[1]! * 2 - before[0]!).toBeLessThanOrEqual(1);
  for (const time of await timesSaid(page)) expect(Math.abs(time)).toBeLessThan(4.2); // a frame of the slower

  const apart: number[] = [];
  for (let step = 1; step <= 4; step++) {
    await timeLine(page).press("ArrowRight");
    const now = await framesShown(page);
    expect(now[0]).toBe(before[0]! + step); // one frame of the faster clip
    const times = await timesSaid(page);
    const said = (await part(page).locator(".beside-apart").textContent())!;
    const size = Number(/([\d.]+) ± [\d.]+ ms/.exec(said)![1]);
    expect(Math.abs(Math.abs(times[1]! - times[0]!) - size)).toBeLessThan(0.25); // rounded each to 0.1 ms
    apart.push(size);
  }
  await bothSeen(page);
  // At every second step the slower clip's frame lies half a frame off, or none does.
  expect(Math.max(...apart)).toBeGreaterThan(Math.min(...apart) + 0.5);
  expect(sitting.person.complaints).toEqual([]);
});

it("shows what the frame shows of the same frames, and a press goes there", async () => {
  const page = await picturesShown();
  const [, frame] = await framesShown(page);
  const pixels = await pixelsOf(picture(page, 1).locator("canvas"));
  await picture(page, 1).getByRole("button").press("Enter");
  await page.locator(".day").waitFor({ state: "detached" });
  expect(await page.locator(".shot.current").textContent()).toContain("Half rate");
  expect(await frameNow(page)).toBe(frame);
  await seePicture(page);
  expect(await pixelsOf(page.locator(".frame .picture"))).toBe(pixels);
});

it("goes by keys and slider from end to end, and plays to the last frame, slowly for who asks for less motion", async () => {
  const page = await picturesShown();
  const slider = timeLine(page);
  await slider.press("Home");
  expect(await slider.inputValue()).toBe("0");
  await slider.press("Shift+ArrowRight");
  expect(await slider.inputValue()).toBe("10");
  await picture(page, 0).getByRole("button").press("End"); // keys work from a picture too
  const last = Number(await slider.getAttribute("max"));
  expect(await slider.inputValue()).toBe(String(last));
  expect(await slider.getAttribute("aria-valuetext")).toMatch(
    /^Full rate: \+[\d.]+ ± [\d.]+ ms from release$/,
  );
  for (let back = 0; back < 3; back++) await slider.press("ArrowLeft");
  await part(page).getByLabel("Frames shown a second").selectOption("60/s");
  await page.emulateMedia({ reducedMotion: "reduce" });
  await part(page).getByText("Your system asks for less motion: 3 frames a second are played.").waitFor();
  await slider.press(" ");
  await part(page).getByRole("button", { name: "Pause" }).waitFor();
  await part(page).getByRole("button", { name: "Play" }).waitFor(); // it has come to the end
  expect(await slider.inputValue()).toBe(String(last));
  await page.emulateMedia({ reducedMotion: null });
  await bothSeen(page);
  expect(sitting.person.complaints).toEqual([]);
});

it("lays both over each other, the second resized to the first's scale, with as much of each as is chosen", async () => {
  const page = await picturesShown();
  const shown = part(page).getByRole("combobox", { name: /^shown/ });
  await shown.selectOption("blended");
  await bothSeen(page);
  const said = part(page).locator(".beside-together");
  await said.getByText("Together: the nose at first motion").waitFor();
  const [, times, u] = /drawn ([\d.]+) ± ([\d.]+) times/.exec((await said.textContent())!)!;
  expect(Math.abs(Number(times) - 1 / SMALLER)).toBeLessThan(Number(u));
  expect(await said.textContent()).toContain("Perspective is not matched: both are");

  // Made of the first clip's pictures, the second's lie edge on edge with them: its marks are the first's.
  for (const origin of ["airframe at first motion", "airframe at release", "scale rod"]) {
    await part(page)
      .getByRole("combobox", { name: /^Together/ })
      .selectOption(origin);
    await said.getByText(origin === "scale rod" ? "the middle of the scale rod" : /the nose at/).waitFor();
    const [under, over] = await Promise.all(
      [0, 1].map((side) =>
        picture(page, side as 0 | 1)
          .locator("canvas")
          .boundingBox(),
      ),
    );
    for (const side of ["x", "y", "width", "height"] as const)
      expect(Math.abs(over![side] - under![side])).toBeLessThan(1.5);
  }

  const share = part(page).getByRole("slider", { name: "Share of Half rate" });
  const opacity = () =>
    picture(page, 1)
      .locator("canvas")
      .evaluate((one) => Number(getComputedStyle(one).opacity));
  expect(await opacity()).toBe(0.5);
  const before = await framesShown(page);
  await share.press("ArrowRight");
  expect(await opacity()).toBe(0.55);
  await share.press("Home");
  expect(await opacity()).toBe(0);
  expect(await framesShown(page)).toEqual(before); // its keys are its own
  await timeLine(page).press("ArrowRight");
  expect((await framesShown(page))[0]).toBe(before[0]! + 1);
  await expectAccessible(page, "Dark");

  await part(page)
    .getByRole("button", { name: /^Half rate, frame/ })
    .click();
  await page.locator(".day").waitFor({ state: "detached" });
  expect(await page.locator(".shot.current").textContent()).toContain("Half rate");
  await picturesShown();
  await part(page).getByRole("combobox", { name: "over" }).selectOption("Full rate");
  await said.getByText("Full rate lies over itself.").waitFor();
  await shown.selectOption("side by side");
  await part(page).getByLabel("right").selectOption("Half rate");
  await bothSeen(page);
  expect(await picture(page, 1).locator("canvas").isVisible()).toBe(true);
  expect(sitting.person.complaints).toEqual([]);
});

it("says in a picture's place why it cannot be shown, and fetches it again when asked", async () => {
  const page = await picturesShown();
  const [, frame] = await framesShown(page);
  const failing = frame! - 30; // beyond what is decoded beside the frame
  const fault = { code: "decode-failed", cause: "The file ends there.", remedy: "Copy it again." };
  const address = new RegExp(`second-shot\\.mp4/frames/${failing}\\?`);
  await page.route(address, (route) => route.fulfill({ status: 500, json: { error: fault } }));
  const frameOfSecond = async () => (await framesShown(page))[1]!;
  while ((await frameOfSecond()) > failing + 6) await timeLine(page).press("Shift+ArrowLeft");
  while ((await frameOfSecond()) > failing) await timeLine(page).press("ArrowLeft");
  await picture(page, 1).getByText("The file ends there.").waitFor();
  expect(await picture(page, 1).locator("canvas").isVisible()).toBe(false);
  expect(await picture(page, 0).locator("canvas").isVisible()).toBe(true);
  await page.unroute(address);
  await part(page)
    .getByRole("button", { name: `Fetch frame ${failing} again` })
    .click();
  await bothSeen(page);
});

it("shows a shot beside itself, says why a shot has no pictures, and is accessible in both themes", async () => {
  const page = await picturesShown();
  await expectAccessible(page, "Dark");
  await part(page).getByLabel("right").selectOption("Full rate");
  await part(page).getByText("Both are the same frame.").waitFor();
  await bothSeen(page);
  const [left, right] = await Promise.all(
    [0, 1].map((side) => pixelsOf(picture(page, side as 0 | 1).locator("canvas"))),
  );
  expect(left).toBe(right);

  await page.getByRole("checkbox", { name: "Draw the curves of Unmarked" }).check();
  await part(page).getByLabel("right").selectOption("Unmarked");
  await part(page)
    .getByText(/^Unmarked is not measured: .*mark/i)
    .waitFor();
  expect(await part(page).locator("canvas").count()).toBe(0);
  await page.getByRole("checkbox", { name: "Draw the curves of Unmarked" }).uncheck();
  await bothSeen(page); // it is no longer chosen: the second of those that are stands in its place
});
