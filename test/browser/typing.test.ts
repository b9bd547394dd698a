import { expect, it } from "vitest";
import { clickPicture, frameNow, oneSitting, openHeading, seePicture, untilSaved } from "./person.ts";

const sitting = oneSitting({ bare: true });

function field(label: string) {
  return sitting.person.page.getByRole("group", { name: label, exact: true });
}

it("takes a capture rate without a ± on Enter, says that the ± is assumed, and has both after a reload", async () => {
  const { person } = sitting;
  const { page } = person;
  await page.locator("[data-step=clock] [aria-expanded=true]").waitFor();
  const rate = field("Capture rate").locator("input").first();
  await rate.fill("239.7");
  await page.getByText(/Enter takes it with ± 0\.479/).waitFor();
  await rate.press("Enter"); // a new shot goes on to what it lacks next
  await page.locator("[data-step=scale] [aria-expanded=true]").waitFor();
  await openHeading(page, "clock");
  await page.getByText(/± 0\.479 .*is assumed, until you type yours/).waitFor();
  await untilSaved(page);
  const clock = () => person.saved().then(({ shots }) => shots[0]!.clock);
  expect(await clock()).toMatchObject({ captureRateHz: { value: 239.7, assumed: true } });
  await page.reload();
  await openHeading(page, "clock");
  await page.getByText(/± 0\.479 .*is assumed/).waitFor();

  // a ± of one's own is one's own, also where it is the same
  await field("Capture rate").locator("input").last().fill("0.479 ");
  await field("Capture rate").locator("input").last().press("Enter");
  await untilSaved(page);
  expect(await clock()).toMatchObject({ captureRateHz: { value: 239.7, u: 0.479 } });
  expect(await clock()).not.toMatchObject({ captureRateHz: { assumed: true } });
});

it("takes it too when the field is left or the page goes, and keeps what cannot stand over a reload", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "clock");
  const rate = field("Capture rate").locator("input").first();
  await field("Capture rate").locator("input").last().fill("");
  await rate.fill("480");
  await page.reload(); // at once
  await openHeading(page, "clock");
  await expect.poll(() => rate.inputValue()).toBe("480");
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.clock).toMatchObject({
    captureRateHz: { value: 480, assumed: true },
  });
  await rate.fill("-480");
  await page.getByText(/It must be above zero/).waitFor();
  await page.reload();
  await openHeading(page, "clock");
  await page.getByText(/It must be above zero/).waitFor();
  expect(await rate.inputValue()).toBe("-480");
  await rate.fill("240 ± 0.5");
  await rate.press("Enter");
  await untilSaved(page);
});

it("gives the length the focus after a rod's second end, and the frame after Enter", async () => {
  const { person } = sitting;
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "scale");
  await clickPicture(page, [300, 900]);
  await clickPicture(page, [900, 900]);
  await expect.poll(() => page.evaluate(() => document.activeElement?.className)).toContain("field-value");
  await page.keyboard.type("1000");
  await page.keyboard.press("Enter");
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.scale).toMatchObject({
    rodM: { value: 1, u: 0.001, assumed: true },
  });
  expect(await page.evaluate(() => document.activeElement?.className)).toContain("frame");
  await page.getByText("Click the top of the plumb line.").waitFor();
});

it("keeps a rod's length that was typed before its ends, also over a reload and after another pick", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "scale");
  await page.locator("[data-step=scale]").getByRole("button", { name: "Remove" }).first().click();
  const length = field("Length between the ends").locator("input").first();
  await length.fill("750 ± 1");
  await length.press("Enter");
  await page.getByRole("button", { name: "Pick the rod's two ends" }).click();
  expect(await length.inputValue()).toBe("750 ± 1");
  await page.reload();
  await openHeading(page, "scale");
  await expect.poll(() => length.inputValue()).toBe("750");
  await seePicture(page);
  await clickPicture(page, [300, 900]);
  await clickPicture(page, [900, 900]);
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.scale).toMatchObject({ rodM: { value: 0.75, u: 0.001 } });
});

it("does what a click within half a second of typing asks, though the page moves as the field is left", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "clock");
  const rate = field("Capture rate").locator("input").first();
  await rate.fill("abc"); // what is wrong stands below the field, and goes with it
  await page.getByText(/is not a number/).waitFor();
  await rate.fill("241");
  const frame = await frameNow(page);
  await page.getByRole("button", { name: "Next frame" }).click();
  expect(await frameNow(page)).toBe(frame + 1);
  await rate.fill("242");
  await page.locator("[data-step=scale] h2 button").click();
  await page.locator("[data-step=scale] h2 button[aria-expanded=true]").waitFor();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.clock).toMatchObject({ captureRateHz: { value: 242 } });
});

it("begins a new shot with the first point", async () => {
  const { person } = sitting;
  const { page } = person;
  await openHeading(page, "marks");
  await page.locator(".frame").focus();
  await page.keyboard.press("2");
  await page.getByText("Click the tail.").waitFor();
  await page.getByRole("button", { name: "Add a shot" }).click();
  await page.getByRole("button", { name: /[(]again[)]/ }).click();
  await openHeading(page, "marks");
  await page.getByText("Click the nose.").waitFor();
  expect(person.complaints).toEqual([]);
});
