import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import { expectAccessible } from "./accessible.ts";
import { headline, oneSitting, openHeading, seePicture, untilMeasured } from "./person.ts";

const sitting = oneSitting();

/** From now on whatever watches the size of an element of this class fails with these words. */
function letFail(name: string): void {
  const Sound = window.ResizeObserver;
  window.ResizeObserver = class extends Sound {
    override observe(element: Element): void {
      if (element.classList.contains(name)) throw new Error("made to fail");
      super.observe(element);
    }
  };
  Object.assign(window, { soundAgain: () => (window.ResizeObserver = Sound) });
}

const soundAgain = (page: Page) =>
  page.evaluate(() => (window as unknown as { soundAgain(): unknown }).soundAgain());

it("says which figure cannot be shown, keeps the rest of the window, and shows it once it can be", async () => {
  const { page } = sitting.person;
  await untilMeasured(page);
  await page.evaluate(letFail, "figure");
  await openHeading(page, "motion");
  const said = page.getByRole("alert").filter({ hasText: "made to fail" });
  await expect.poll(() => said.count()).toBeGreaterThan(1);
  const failed = await said.count();
  expect(await said.first().textContent()).toMatch(/^Speed .*cannot be shown: an error inside Loftmark/);
  await expectAccessible(page);
  await expect.poll(() => headline(page, "releaseSpeed")).toBeGreaterThan(5);
  await seePicture(page);

  await soundAgain(page);
  await said.first().getByRole("button", { name: "Show it again" }).click();
  const drawn = page.locator("[data-step=motion] figure.figure svg");
  await drawn.first().waitFor();
  expect(await said.count()).toBe(failed - 1);

  await page.evaluate(letFail, "large-box"); // enlarged it fails, and in its place it stays
  const larger = page.getByRole("button", { name: /^Larger: / });
  await larger.first().click();
  await said.filter({ hasText: ", enlarged, cannot be shown" }).waitFor();
  expect(await drawn.count()).toBeGreaterThan(0);
  await larger.first().click();
  await expect.poll(() => said.count()).toBe(failed - 1);
  await soundAgain(page);
});

it("works on without the frame, and with it again from the next step of the session on", async () => {
  const { page } = sitting.person;
  await page.addInitScript(letFail, "frame");
  await page.reload();
  const said = page.getByRole("alert").filter({ hasText: "The frame cannot be shown" });
  await said.waitFor();
  await untilMeasured(page);
  await expect.poll(() => headline(page, "releaseSpeed")).toBeGreaterThan(5);

  await soundAgain(page);
  await openHeading(page, "clip");
  await page.getByLabel("Name of the shot").fill("Afternoon");
  await page.keyboard.press("Enter");
  await seePicture(page);
  expect(await said.count()).toBe(0);
});
