import { expect, it } from "vitest";
import type { Shot } from "../../src/shared/session/schema.ts";
import { findFfmpeg } from "../../tools/find-program.mjs";
import { ELSEWHERE, TRUE_SHOTS, type TrueShot, writeNudgedDay } from "../support/nudged-day.ts";
import { headline, oneSitting, type Person, untilMeasured, untilSaved } from "./person.ts";

const sitting = oneSitting({ fill: (folder) => writeNudgedDay(folder, findFfmpeg()!.path) });

/** What a person does, counted: a click, or what is typed into one field with the key that ends it. */
function counted() {
  const done: string[] = [];
  return {
    done,
    async act(what: string, how: () => Promise<void>) {
      done.push(what);
      await how();
    },
  };
}

it("makes a second and a third shot of a nudged camera in three actions each, near the truth, and none of another place", async () => {
  const { page, saved, complaints } = sitting.person;
  await page.locator(".shots .shot").first().waitFor();
  const [, second, third] = TRUE_SHOTS as readonly TrueShot[] as [TrueShot, TrueShot, TrueShot];

  // by mouse
  const byMouse = counted();
  await byMouse.act("Add all 3 clips", () => page.getByRole("button", { name: "Add all 3 clips" }).click());
  const panel = page.locator(".carried");
  await panel.getByText(/the picture has moved by/).waitFor();
  expect(await page.getByText(/The shot has no clock/).count()).toBe(0); // it is offered one
  expect(await panel.textContent()).toMatch(
    /moved by 4\.0 ± 0\.0\d px and turned by 0\.20 ± 0\.0\d\d° clockwise/,
  );
  // nothing counts before it is taken over
  await untilSaved(page);
  expect((await saved()).shots[1]).toMatchObject({ scale: null, plumb: null, clock: null, marks: [] });
  await byMouse.act("Take it over", () => panel.getByRole("button", { name: "Take it over" }).click());
  await byMouse.act("type the pressure", () => page.keyboard.type("350\n"));
  const shot = await measured(sitting.person, second);
  expect(shot.conditions.gaugePressurePa).not.toBeNull();
  expect(shot.scale).toMatchObject({ carried: { uPx: 0.3 } });
  expect(shot.scale!.uPx).toBeGreaterThan(0.3);

  // by keyboard: the button takes the focus, and after it the field of the pressure
  const byKeys = counted();
  await byKeys.act("PageDown", () => page.keyboard.press("PageDown"));
  await panel.locator("button:focus", { hasText: "Take it over" }).waitFor();
  await byKeys.act("Enter", () => page.keyboard.press("Enter"));
  await byKeys.act("type the pressure", () => page.keyboard.type("250\n"));
  await measured(sitting.person, third);
  console.log(`second shot: ${byMouse.done.join(", ")}; third shot: ${byKeys.done.join(", ")}`);
  expect([byMouse.done.length, byKeys.done.length]).toEqual([3, 3]);

  // another place is refused, and says why
  await page.keyboard.press("PageDown");
  await panel.getByText(new RegExp(`${ELSEWHERE} does not show what Shot 1 shows`)).waitFor();
  expect(await panel.getByRole("button", { name: "Take it over" }).count()).toBe(0);
  const top = await panel.evaluate((element) => element.getBoundingClientRect().top);
  const covered = await page
    .locator(".headline-grid")
    .evaluate((element) => element.getBoundingClientRect().bottom);
  expect(top).toBeGreaterThanOrEqual(covered);
  // the next likely one is offered
  await panel.getByRole("button", { name: /^Look as in / }).click();
  await panel.getByText(new RegExp(`${ELSEWHERE} does not show what Shot [23] shows`)).waitFor();
  await panel.getByRole("button", { name: "Set it up by hand" }).click();
  await expect.poll(() => panel.count()).toBe(0);
  expect(complaints).toEqual([]);
});

/** Waits for the shot in the window to be measured, and holds its release speed to the truth. */
async function measured({ page, saved }: Person, { clip, speed }: TrueShot): Promise<Shot> {
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await expect.poll(() => page.locator(".job").count()).toBe(0);
  await untilMeasured(page);
  const text = (await page.locator("[data-headline=releaseSpeed] .headline-value").textContent()) ?? "";
  const [value, u] = text.split("±").map((part) => Number(/[\d.]+/.exec(part)?.[0])) as [number, number];
  console.log(`${clip}: ${value} ± ${u} m/s, truly ${speed} m/s`);
  expect(Math.abs(value / speed - 1)).toBeLessThan(0.01);
  expect(Math.abs(value - speed)).toBeLessThan(2.5 * u);
  await untilSaved(page);
  return (await saved()).shots.find((one) => one.clip === clip)!;
}
