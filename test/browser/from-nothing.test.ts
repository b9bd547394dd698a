import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { afterAll, beforeAll, expect, it } from "vitest";
import type { Session } from "../../src/shared/session/schema.ts";
import {
  clickPicture,
  type Field,
  goToFrame,
  headline,
  openField,
  openHeading,
  type Person,
  seePicture,
  sitDown,
  typeMeasured,
  untilMeasured,
  untilSaved,
} from "./person.ts";

let field: Field;
let person: Person;
beforeAll(async () => {
  field = await openField();
  person = await sitDown(field, { bare: true });
});
afterAll(async () => {
  await person?.leave();
  await field?.close();
});

it("brings a bare clip to a release speed near the truth by clock, scale, plumb and clicked marks, and loses nothing", async () => {
  const { page } = person;
  // Where a person would click: what the example's own session says of its clip.
  const session = JSON.parse(await readFile(join(field.example, "loftmark.json"), "utf8")) as Session;
  const shot = session.shots[0]!;
  const clock = shot.clock as Extract<NonNullable<typeof shot.clock>, { kind: "capture-rate" }>;

  // One clip alone in a folder is a shot at once, and the first thing missing is open.
  await page.locator("[data-step=clock] [aria-expanded=true]").waitFor();
  await typeMeasured(page, "Capture rate", String(clock.captureRateHz.value), "0.5");
  await seePicture(page);
  await goToFrame(page, 0); // and there it stays, whatever is found in the clip
  await openHeading(page, "scale");
  await clickPicture(page, shot.scale!.a);
  await clickPicture(page, shot.scale!.b);
  await typeMeasured(page, "Length between the ends", String(shot.scale!.rodM.value * 1000), "0.5");
  await clickPicture(page, shot.plumb!.top);
  await clickPicture(page, shot.plumb!.bottom);
  await page.getByText(/The plumb leans/).waitFor();
  expect(await headline(page, "releaseSpeed")).toBeNull();

  await openHeading(page, "marks");
  await page.getByLabel("then").selectOption("next-point");
  const both = [...new Set(shot.marks.map((mark) => mark.frame))].filter(
    (frame) => frame % 3 === 0 && shot.marks.filter((mark) => mark.frame === frame).length === 2,
  );
  await page.locator(".frame").focus();
  let at = 0;
  for (const frame of both) {
    for (; at < frame; at++) await page.keyboard.press("ArrowRight");
    for (const pointId of ["nose", "tail"]) {
      const mark = shot.marks.find((one) => one.frame === frame && one.pointId === pointId)!;
      await clickPicture(page, [mark.x, mark.y]);
    }
    at++; // after the last point of a frame the next frame comes by itself
  }
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(page);
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks.length).toBe(2 * both.length);

  const truth = JSON.parse(await readFile(join(field.example, "truth.json"), "utf8"));
  const speed = (await headline(page, "releaseSpeed"))!;
  // A third of the frames, clicks to half a css px (1.1 px) at 46 %: three times coarser than
  // the example's own marks.
  expect(Math.abs(speed / truth.shots[0].quantities.releaseSpeed.value - 1)).toBeLessThan(0.02);

  const saved = await person.saved();
  await page.reload();
  await expect.poll(() => headline(page, "releaseSpeed")).toBe(speed);
  await untilSaved(page);
  expect(await person.saved()).toEqual(saved);
  expect(person.complaints).toEqual([]);
});
