import { writeFile } from "node:fs/promises";
import { join } from "node:path";
import { beforeEach, expect, it } from "vitest";
import { expectAccessible } from "./accessible.ts";
import { oneSitting, openHeading, type Person, seePicture, untilSaved } from "./person.ts";

const sitting = oneSitting();
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

async function rename(name: string): Promise<void> {
  const input = person.page.getByLabel("Name of the shot");
  await input.fill(name);
  await input.press("Enter");
}

/** Another program saves the session, the way Loftmark would. */
async function changeElsewhere(title: string): Promise<void> {
  const path = join(person.folder, "loftmark.json");
  await writeFile(path, JSON.stringify({ ...(await person.saved()), title }));
}

it("keeps an edit made the moment before a reload", async () => {
  await seePicture(person.page);
  // The window notes what the clip holds by itself: no other save is on its way when the edit is made.
  await expect.poll(async () => (await person.saved()).clips?.length).toBe(1);
  await untilSaved(person.page);
  await rename("Evening shot");
  await person.page.reload(); // at once: before the pause after which it saves by itself
  await expect.poll(() => person.page.getByLabel("Name of the shot").inputValue()).toBe("Evening shot");
  await untilSaved(person.page);
  expect((await person.saved()).shots[0]!.name).toBe("Evening shot");
});

it("offers both versions when the folder changed elsewhere, and loses neither", async () => {
  const { page } = person;
  const { name } = (await person.saved()).shots[0]!;
  await seePicture(page);
  await changeElsewhere("Changed elsewhere");
  await rename("Mine");
  await page.getByRole("button", { name: "Keep this window's" }).waitFor();
  await expectAccessible(page, "Dark");
  await page.getByRole("button", { name: "Keep this window's" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.name).toBe("Mine");
  await page.getByRole("button", { name: "Undo" }).click();
  await untilSaved(page);
  expect(await person.saved()).toMatchObject({
    title: "Changed elsewhere",
    shots: [{ name }],
  });
  await page.getByRole("button", { name: "Redo" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.name).toBe("Mine");

  await changeElsewhere("Changed again");
  await rename("Mine too");
  await page.getByRole("button", { name: "Take the folder's" }).click();
  await untilSaved(page);
  expect(await person.saved()).toMatchObject({ title: "Changed again", shots: [{ name: "Mine" }] });
  await page.getByRole("button", { name: "Undo" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.name).toBe("Mine too");
});

it("takes back after a reload what was done before it, and says what it took back", async () => {
  const { page } = person;
  const { name } = (await person.saved()).shots[0]!;
  await seePicture(page);
  await rename("Before the reload");
  await untilSaved(page);
  await page.reload();
  await seePicture(page);
  await page.getByRole("button", { name: "Undo" }).click();
  await expect.poll(() => page.getByLabel("Name of the shot").inputValue()).toBe(name);
  await page.getByText(`Undid: Renamed ${name} to "Before the reload".`).waitFor();
  await untilSaved(page);
  await page.reload();
  await seePicture(page);
  await page.getByRole("button", { name: "Redo" }).click();
  await expect.poll(() => page.getByLabel("Name of the shot").inputValue()).toBe("Before the reload");
});

it("takes back a value and its ± with one Undo, also when the value was saved before the ± was typed", async () => {
  const { page } = person;
  await seePicture(page);
  const rate = async () => {
    const { clock } = (await person.saved()).shots[0]!;
    return clock?.kind === "capture-rate" ? clock.captureRateHz : null;
  };
  const before = await rate();
  await openHeading(page, "clock");
  const group = page.getByRole("group", { name: "Capture rate", exact: true });
  await group.locator("input").first().fill("1234");
  await expect.poll(async () => (await rate())?.value).toBe(1234);
  await group.locator("input").last().fill("7");
  await expect.poll(async () => (await rate())?.u).toBe(7);
  await group.locator("input").last().press("Enter");
  await page.getByRole("button", { name: "Undo" }).click();
  await expect.poll(rate).toEqual(before);
});

it("looks at an earlier state in the history, returns to now, and goes back to it", async () => {
  const { page } = person;
  await seePicture(page);
  for (const name of ["One", "Two", "Three"]) {
    await rename(name);
    await untilSaved(page);
  }
  await page.getByRole("button", { name: "History", exact: true }).click();
  await page.getByRole("button", { name: /Look at the state after: Renamed .* "One"/ }).click();
  await page.getByRole("region", { name: "Earlier state" }).waitFor();
  expect(await page.getByLabel("Name of the shot").inputValue()).toBe("One");
  await rename("Not now");
  await page
    .getByText("You are looking at an earlier state of the session, so nothing was changed.")
    .waitFor();
  await page.getByRole("button", { name: "Return to now" }).click();
  expect(await page.getByLabel("Name of the shot").inputValue()).toBe("Three");
  expect((await person.saved()).shots[0]!.name).toBe("Three");
  await page.getByRole("button", { name: /Look at the state after: Renamed .* "One"/ }).click();
  await page.getByRole("button", { name: "Go back to this state" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.name).toBe("One");
  await page.getByRole("button", { name: "Undo" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.name).toBe("Three");
});

it("offers the last good state of a session file that cannot be read, shows what it is, and keeps the file", async () => {
  const { page } = person;
  await seePicture(page);
  await rename("Worth keeping");
  await untilSaved(page);
  await page.goto("about:blank");
  await writeFile(join(person.folder, "loftmark.json"), "{ half of it");
  await page.goto(person.host.url);
  await page.getByText(/not readable as JSON/).waitFor();
  await page
    .getByText(/Worth keeping/)
    .first()
    .waitFor();
  await page.getByRole("button", { name: "Put this state in its place" }).click();
  await seePicture(page);
  expect(await page.getByLabel("Name of the shot").inputValue()).toBe("Worth keeping");
  expect((await person.saved()).shots[0]!.name).toBe("Worth keeping");
});

it("says that it is not saved while the service is away, and keeps what was typed", async () => {
  const { page, host } = person;
  await seePicture(page);
  await host.close();
  await rename("Typed into the void");
  await page.getByRole("alert").waitFor();
  expect(await page.getByTestId("save").textContent()).toBe("not saved");
  expect(await page.getByRole("alert").textContent()).toMatch(/does not answer/);
  expect(await page.getByLabel("Name of the shot").inputValue()).toBe("Typed into the void");
});
