import { beforeEach, expect, it } from "vitest";
import { examplePixel } from "../../src/main/example/example-motion.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import {
  frameNow,
  goToFrame,
  headline,
  oneSitting,
  openHeading,
  type Person,
  seePicture,
  untilMeasured,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting({ session: oneMarkEach });
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

/** One hand mark of each target, the first. */
function oneMarkEach(session: Session): Session {
  const [shot] = session.shots;
  const first = (id: string) => shot!.marks.find(({ pointId }) => pointId === id)!;
  return { ...session, shots: [{ ...shot!, marks: [first("nose"), first("tail")] }] };
}

it("follows nose and tail from one hand mark each to the clip's end, gives the speed, and is taken back by one undo", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  const hand = (await person.saved()).shots[0]!.marks;
  const start = hand[0]!.frame;
  await goToFrame(page, start);
  expect(await frameNow(page)).toBe(start);

  await page.keyboard.press("1");
  await page.keyboard.press("ArrowRight"); // as after a click: from the nearest hand mark
  await page.keyboard.press("f");
  await page.getByRole("button", { name: /Remove the follower's \d+ marks of the nose/ }).waitFor();
  await page.keyboard.press("2");
  await page.getByRole("button", { name: "Follow the tail onwards" }).click();
  await page.getByRole("button", { name: /Remove the follower's \d+ marks of the tail/ }).waitFor();
  await untilSaved(page);
  const marks = (await person.saved()).shots[0]!.marks;
  expect(marks.filter(({ by }) => by === "hand")).toEqual(hand);
  for (const id of ["nose", "tail"] as const) {
    const own = marks.filter(({ pointId, by }) => pointId === id && by === "follower");
    expect(own).toHaveLength(177 - start);
    const seed = hand.find(({ pointId }) => pointId === id)!;
    const [x, y] = examplePixel(id, start);
    const off = [seed.x - x, seed.y - y] as const; // what the hand mark is off, all marks are off
    for (const mark of own) {
      const [tx, ty] = examplePixel(id, mark.frame);
      expect(Math.hypot(mark.x - tx - off[0], mark.y - ty - off[1])).toBeLessThan(0.25);
    }
  }
  await untilMeasured(page);
  expect(Math.abs((await headline(page, "releaseSpeed"))! / 13.918 - 1)).toBeLessThan(0.007);

  // A mark of the follower stands apart from one by hand, which alone is followed from.
  await page.keyboard.press("ArrowRight");
  expect(await page.getByTestId("marks-here").textContent()).toContain("by the follower");
  await page.getByText(`From its hand mark in frame ${start}, the nearest.`).waitFor();

  await page.keyboard.press("Control+z");
  await untilSaved(page);
  const undone = (await person.saved()).shots[0]!.marks;
  expect(undone.filter(({ pointId }) => pointId === "tail")).toEqual(
    hand.filter(({ pointId }) => pointId === "tail"),
  );
  expect(undone.length).toBe(hand.length + 177 - start);
  await page.keyboard.press("1");
  await page.getByRole("button", { name: /Remove the follower's \d+ marks of the nose/ }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks).toEqual(hand);
  expect(person.complaints).toEqual([]);
});

it("shows on the strip how far it is, keeps what it has when stopped, and is taken back by one undo", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  const hand = (await person.saved()).shots[0]!.marks;
  await goToFrame(page, hand[0]!.frame);
  await page.keyboard.press("1");
  await page.keyboard.press("f");
  const line = page.getByTestId("followed-so-far");
  await page.waitForFunction(
    (path) => {
      const [, from, to] = /^M([\d.]+) [\d.]+H([\d.]+)/.exec(path?.getAttribute("d") ?? "") ?? [];
      return Number(to) > Number(from);
    },
    await line.elementHandle(),
  );
  await page.locator("[data-step=marks]").getByRole("button", { name: "Stop" }).click();
  await page
    .getByText(/^Following the nose was stopped after frame \d+; what was followed is kept\./)
    .waitFor();
  await untilSaved(page);
  const marks = (await person.saved()).shots[0]!.marks;
  const frames = marks.flatMap(({ pointId, by, frame }) =>
    pointId === "nose" && by === "follower" ? [frame] : [],
  );
  expect(frames.length).toBeGreaterThan(0);
  expect(frames).toEqual(frames.map((_, i) => hand[0]!.frame + 1 + i));
  await page.keyboard.press("Control+z");
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks).toEqual(hand);
  expect(person.complaints).toEqual([]);
});

it("follows all points both ways at one press, says so, and takes it back by one undo", async () => {
  const { page } = person;
  await seePicture(page);
  await openHeading(page, "marks");
  const hand = (await person.saved()).shots[0]!.marks;
  await page.getByRole("button", { name: "Follow all" }).click();
  for (const name of ["nose", "tail"]) {
    await page.keyboard.press(name === "nose" ? "1" : "2");
    await page.getByText(/^Backwards: /).waitFor();
  }
  await untilSaved(page);
  const marks = (await person.saved()).shots[0]!.marks;
  for (const id of ["nose", "tail"]) expect(marks.filter(({ pointId }) => pointId === id)).toHaveLength(178);
  await page.keyboard.press("Control+z");
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks).toEqual(hand);
  expect(person.complaints).toEqual([]);
});
