import { link, mkdir, readFile, rename, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import type { Page } from "playwright-core";
import { beforeEach, expect, it } from "vitest";
import { EXAMPLE_CLIP } from "../../src/main/example/example-session.ts";
import { openFieldFolder } from "../../src/main/store/field-folder.ts";
import { createSessionFile, SESSION_FILE } from "../../src/main/store/session-file.ts";
import { sessionText } from "../../src/main/store/session-text.ts";
import { freshSession, freshShot } from "../../src/shared/session/fresh.ts";
import { headline, oneSitting, openHeading, type Person, untilMeasured, untilSaved } from "./person.ts";

const sitting = oneSitting();
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

async function nameShot(page: Page, name: string): Promise<void> {
  const input = page.getByLabel("Name of the shot");
  await input.fill(name);
  await input.press("Enter");
  await untilSaved(page);
}

async function shotNameIn(folder: string): Promise<string> {
  const { session } = await createSessionFile(await openFieldFolder(folder)).read();
  return session.shots[0]!.name;
}

/** A folder beside the person's own, with one shot and no clip; removed with it. */
async function secondFolder(): Promise<string> {
  const path = join(person.folder, "second card");
  await mkdir(path);
  const session = { ...freshSession("second"), shots: [freshShot("shot-1", "Second", null)] };
  await writeFile(join(path, SESSION_FILE), sessionText(session));
  return path;
}

it("two tabs on two folders each save into their own, and a reload stays in its folder", async () => {
  const { page, host } = person;
  const second = await secondFolder();
  await page.getByLabel("Name of the shot").waitFor();

  const other = await page.context().newPage();
  await other.goto(host.url);
  await other.getByRole("button", { name: "Open a folder" }).click();
  await other.getByLabel("Path of the folder that holds the clips").fill(second);
  await other.getByRole("button", { name: "Open", exact: true }).click();
  await expect.poll(() => other.getByLabel("Name of the shot").inputValue()).toBe("Second");

  await nameShot(page, "Of the first card");
  await nameShot(other, "Of the second card");
  expect([await shotNameIn(person.folder), await shotNameIn(second)]).toEqual([
    "Of the first card",
    "Of the second card",
  ]);
  await page.reload();
  await expect.poll(() => page.getByLabel("Name of the shot").inputValue()).toBe("Of the first card");
  expect(new URL(page.url()).searchParams.get("folder")).not.toBe(
    new URL(other.url()).searchParams.get("folder"),
  );
  await other.close();
  expect(person.complaints).toEqual([]);
});

it("a clip swapped while the folder is open takes the number away, and the renamed one brings it back", async () => {
  const { page, folder } = person;
  await untilMeasured(page);
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  // Noted once all of it was read; until then any file under this name would do.
  await expect
    .poll(async () => (await person.saved()).clips?.map(({ name }) => name))
    .toEqual([EXAMPLE_CLIP]);
  // In one step, so that the page never asks for a clip in a moment in which there is none of its name.
  const another = Buffer.concat([await readFile(join(folder, EXAMPLE_CLIP)), Buffer.from("another take")]);
  await writeFile(join(folder, "being copied"), another);
  await link(join(folder, EXAMPLE_CLIP), join(folder, "carried over.mp4"));
  await rename(join(folder, "being copied"), join(folder, EXAMPLE_CLIP));
  const said = page.getByText(`${EXAMPLE_CLIP} is not the clip that the marks were placed in`).first();
  await said.waitFor();
  expect(await headline(page, "releaseSpeed")).toBeNull();
  await openHeading(page, "clip");
  await page.getByRole("button", { name: "Use carried over.mp4" }).click();
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.clip).toBe("carried over.mp4");
  expect(person.complaints).toEqual([]);
});

it("a page whose folder is not open any more says so, and goes on to one that is", async () => {
  const { page, host } = person;
  await page.getByLabel("Name of the shot").waitFor();
  await page.goto(`${host.origin}/?folder=of-another-day`);
  await page.getByText("The folder that this window shows is not open any more").waitFor();
  await page
    .getByRole("list", { name: "Open folders" })
    .getByRole("button", { name: basename(person.folder) })
    .click();
  await page.getByLabel("Name of the shot").waitFor();
});
