import { expect, it } from "vitest";
import { examplePixel } from "../../src/main/example/example-motion.ts";
import { clickPicture, goToFrame, oneSitting, openHeading, seePicture, untilSaved } from "./person.ts";

const sitting = oneSitting();
const FRAME = 20; // at rest

it("takes a target's middle for a click with Shift near it, to 0.1 px, and for a plain one with the choice on", async () => {
  const { person } = sitting;
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  await goToFrame(page, FRAME);
  await seePicture(page);
  const beside = (id: "nose" | "tail") => {
    const [x, y] = examplePixel(id, FRAME);
    return [x + 3, y - 2] as const;
  };
  await page.keyboard.press("1");
  await page.keyboard.down("Shift");
  await clickPicture(page, beside("nose"));
  await page.keyboard.up("Shift");
  await goToFrame(page, FRAME);
  await page.keyboard.press("2");
  await page.getByLabel("target’s middle").check();
  await clickPicture(page, beside("tail"));
  await untilSaved(page);
  const marks = (await person.saved()).shots[0]!.marks.filter(({ frame }) => frame === FRAME);
  for (const id of ["nose", "tail"] as const) {
    const mark = marks.find(({ pointId }) => pointId === id)!;
    const [x, y] = examplePixel(id, FRAME);
    expect(Math.hypot(mark.x - x, mark.y - y)).toBeLessThan(0.1);
    expect(mark).toMatchObject({ by: "hand", snapped: true });
    expect(mark.u).toBeLessThan(0.1);
  }
});

it("places nothing where there is no target, and says so; a mark that is nudged is one by hand again", async () => {
  const { person } = sitting;
  const { page } = person;
  await goToFrame(page, FRAME);
  await seePicture(page);
  const before = (await person.saved()).shots[0]!.marks;
  await clickPicture(page, [900, 80]); // sky
  await page.getByText("No target was found under the click, so nothing was placed.").waitFor();
  expect((await person.saved()).shots[0]!.marks).toEqual(before);
  await page.locator(".frame").focus();
  await page.keyboard.press("2");
  await page.keyboard.press("Alt+ArrowRight");
  await untilSaved(page);
  const mark = (await person.saved()).shots[0]!.marks.find(
    ({ frame, pointId }) => frame === FRAME && pointId === "tail",
  )!;
  expect(mark).not.toHaveProperty("snapped");
  expect(mark.u).toBeGreaterThan(0.1);
  expect(person.complaints).toEqual([]);
});
