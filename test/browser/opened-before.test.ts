import { mkdir, rename, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import { SESSION_FILE } from "../../src/main/store/session-file.ts";
import { sessionText } from "../../src/main/store/session-text.ts";
import { freshSession, freshShot } from "../../src/shared/session/fresh.ts";
import { expectAccessible } from "./accessible.ts";
import { newWindow, oneSitting } from "./person.ts";

const sitting = oneSitting({
  async fill(folder) {
    await writeFile(join(folder, SESSION_FILE), sessionText(sessionOf("Home")));
    for (const name of ["May card", "June card"]) {
      await mkdir(join(folder, name));
      await writeFile(join(folder, name, SESSION_FILE), sessionText(sessionOf(name)));
    }
  },
});

function sessionOf(name: string) {
  return { ...freshSession(name), shots: [freshShot("shot-1", name, null)] };
}

/** The page of a folder is known by the name of its one shot. */
async function expectShown(page: Page, name: string): Promise<void> {
  await expect.poll(() => page.getByLabel("Name of the shot").inputValue()).toBe(name);
}

const before = (page: Page) => page.getByRole("region", { name: "Opened before" });

/** The names on the list, in its order. */
const names = (page: Page) => before(page).locator(".opened-before-name").allTextContents();

async function openByPath(page: Page, path: string): Promise<void> {
  await page.getByRole("button", { name: "Open a folder" }).click();
  await page.getByLabel("Path of the folder that holds the clips").fill(path);
  await page.getByRole("button", { name: "Open", exact: true }).click();
}

it("opens a folder that was opened before by mouse or keyboard, with what was typed saved first", async () => {
  const { page, folder } = sitting.person;
  await expectShown(page, "Home");
  await page.getByRole("button", { name: "Open a folder" }).click();
  await page.getByRole("dialog").waitFor();
  expect(await before(page).count()).toBe(0); // the folder that is shown is left out
  await page.keyboard.press("Escape");

  await openByPath(page, join(folder, "May card"));
  await expectShown(page, "May card");
  await openByPath(page, join(folder, "June card"));
  await expectShown(page, "June card");
  await page.getByLabel("Name of the shot").fill("Typed in June");
  await page.getByRole("button", { name: "Open a folder" }).click();
  await before(page).waitFor();
  expect((await names(page))[0]).toBe("May card");
  expect(await names(page)).toHaveLength(2);
  expect(await before(page).getByRole("listitem").first().textContent()).toMatch(
    /^May card opened (today|yesterday) at \d\d:\d\d/,
  );
  await before(page)
    .getByRole("button", { name: /^May card/ })
    .click();
  await expectShown(page, "May card");

  // By keys: the path, which has the focus, Stay here, Open, then the list.
  await page.getByRole("button", { name: "Open a folder" }).focus();
  await page.keyboard.press("Enter");
  const path = page.getByLabel("Path of the folder that holds the clips");
  expect(await path.evaluate((field) => field === document.activeElement)).toBe(true);
  await before(page).waitFor();
  const june = before(page).getByRole("button", { name: /^June card/ });
  for (let tabs = 0; tabs < 6; tabs++) {
    if (await june.evaluate((button) => button === document.activeElement)) break;
    await page.keyboard.press("Tab");
  }
  await page.keyboard.press("Enter");
  await expectShown(page, "Typed in June");
  expect(sitting.person.complaints).toEqual([]);
});

it("marks a folder that is not there, opens nothing for it, and forgets it by keyboard", async () => {
  const { page, folder } = sitting.person;
  await rename(join(folder, "May card"), join(folder, "put away"));
  await page.getByRole("button", { name: "Open a folder" }).click();
  const gone = before(page).getByRole("listitem").filter({ hasText: "May card" });
  expect(await gone.textContent()).toContain("not there now");
  expect(await gone.getByRole("button").allTextContents()).toEqual(["Forget"]);
  await expectAccessible(page);
  await gone.getByRole("button", { name: "Forget May card" }).press("Enter");
  await gone.waitFor({ state: "detached" });
  const focused = await page.evaluate(() => document.activeElement?.textContent);
  expect(focused).toBe("Opened before");
  expect(await names(page)).toHaveLength(1);
  await page.keyboard.press("Escape");
  await page.getByRole("button", { name: "Open a folder" }).click();
  await before(page).waitFor();
  expect(await names(page)).not.toContain("May card");
  await page.keyboard.press("Escape");
  expect(sitting.person.complaints).toEqual([]);
});

it("offers the folders opened before, not those that are open, where the window's own is not open any more", async () => {
  const { folder } = sitting.person;
  const [shown, put] = [join(folder, "Shown"), join(folder, "put away")];
  await mkdir(shown);
  await writeFile(join(shown, SESSION_FILE), sessionText(sessionOf("Shown")));
  // Another start of the program, with the list of the first: only its own folder is open there.
  const again = await sitting.person.startAgain(shown);
  const page = await newWindow(sitting.field);
  try {
    await page.goto(again.url);
    await expectShown(page, "Shown");
    const remembered = await page.evaluate(
      async () => (await (await fetch("/host/recent")).json()) as { folders: { folder: string }[] },
    );
    expect(remembered.folders[0]!.folder).toBe(shown);
    await page.goto(`${again.origin}/?folder=closed`);
    const open = page.getByRole("list", { name: "Open folders" });
    await open.waitFor(); // it is asked for when the page stands
    expect(await open.getByRole("button").allTextContents()).toEqual(["Shown"]);
    await before(page).waitFor();
    expect(await names(page)).toEqual(["June card", basename(folder)]);
    await expectAccessible(page);
    await before(page)
      .getByRole("button", { name: /^June card/ })
      .click();
    await expectShown(page, "Typed in June");
    // And by its path, as before.
    await page.goto(`${again.origin}/?folder=closed`);
    await openByPath(page, put);
    await expectShown(page, "May card");
  } finally {
    await page.context().close();
    await again.close();
  }
});

it("offers them where the folder of the window is gone", async () => {
  const { page, folder } = sitting.person;
  await page.goto(sitting.person.host.url);
  await openByPath(page, join(folder, "June card"));
  await expectShown(page, "Typed in June");
  await rename(join(folder, "June card"), join(folder, "also put away"));
  await page.reload();
  await before(page).waitFor();
  const home = before(page).getByRole("button", { name: new RegExp(`^${basename(folder)}`) });
  await home.click();
  await expectShown(page, "Home");
});

it("leads to the desktop's picker by one press, and to the list by another", async () => {
  const { page, folder } = sitting.person;
  const picks = join(folder, "put away");
  const desktop = await page.context().newPage();
  await desktop.route("**/host/info*", async (route) => {
    const reply = await route.fetch();
    await route.fulfill({ response: reply, json: { ...(await reply.json()), canPickFolder: true } });
  });
  await desktop.addInitScript((path) => {
    const loftmarkHost = { pickFolder: async () => path, onFinishSaves: () => {} };
    Object.assign(window, { loftmarkHost });
  }, picks);
  await desktop.goto(sitting.person.host.url);
  await expectShown(desktop, "Home");
  await desktop.getByRole("button", { name: "Opened before" }).click();
  await before(desktop).waitFor();
  expect(await desktop.getByLabel("Path of the folder that holds the clips").count()).toBe(0);
  expect(await names(desktop)).toContain("June card");
  await desktop.getByRole("button", { name: "Stay here" }).click();
  await desktop.getByRole("button", { name: "Open a folder" }).click();
  await expectShown(desktop, "May card");
  await desktop.close();
});
