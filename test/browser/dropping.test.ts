import { mkdir, mkdtemp, readdir, readFile, realpath, rm, stat, utimes, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, expect, it } from "vitest";
import { makeClip } from "../support/make-clip.ts";
import { withoutRights } from "../support/without-rights.ts";
import { expectAccessible } from "./accessible.ts";
import { oneSitting, openHeading, sitDown, untilSaved } from "./person.ts";

const sitting = oneSitting({
  async fill(folder) {
    await makeClip(join(folder, "here.mp4"), FRAMES);
  },
});

const FRAMES = 12;
const FILMED_S = Date.UTC(2026, 4, 3, 10, 20, 30) / 1000;

let card: string;

beforeAll(async () => {
  card = await realpath(await mkdtemp(join(tmpdir(), "loftmark card ")));
  await makeClip(join(card, "one.mp4"), FRAMES);
  await makeClip(join(card, "two.mp4"), FRAMES);
  await writeFile(join(card, "here.mp4"), "another clip of that name");
  await writeFile(join(card, "notes.txt"), "no clip");
  for (const [i, name] of ["two.mp4", "one.mp4"].entries())
    await utimes(join(card, name), FILMED_S + 60 * i, FILMED_S + 60 * i);
});

afterAll(() => rm(card, { recursive: true, force: true }));

/** Drags files and folders of this machine over the page, as a person does from the system's own window. */
async function dragOver(page: Page, ...files: string[]) {
  const cdp = await page.context().newCDPSession(page);
  const data = { items: [], files, dragOperationsMask: 1 };
  const send = async (type: "dragEnter" | "dragOver" | "drop") => {
    await cdp.send("Input.dispatchDragEvent", { type, x: 300, y: 200, data });
  };
  await send("dragEnter");
  await send("dragOver");
  return { drop: () => send("drop") };
}

const words = (page: Page) => page.locator(".drop-words strong");

const shots = (page: Page) => page.locator(".shots ol .shot");

it("says while clips are dragged over the window what a drop will do, and no more once they are gone", async () => {
  const { page, folder } = sitting.person;
  await shots(page).waitFor();
  const ends = [
    // The browser has no way to drag out of its window here; this is what it then sends.
    ["Dark", "dragleave"],
    // A drag whose end was not heard of: the pointer moves again.
    ["Light", "pointermove"],
  ] as const;
  for (const [theme, end] of ends) {
    await page.getByRole("button", { name: theme, exact: true }).click();
    await dragOver(page, join(card, "one.mp4"), join(card, "two.mp4"));
    await words(page).waitFor();
    expect(await words(page).textContent()).toBe(`Add 2 clips to ${basename(folder)}`);
    await expectAccessible(page);
    await page.locator(".shots").dispatchEvent("dragleave"); // from one part to the next: it goes on
    expect(await words(page).count()).toBe(1);
    await page.evaluate((type) => {
      const under = document.elementFromPoint(300, 200);
      under?.dispatchEvent(new Event(type, { bubbles: true }));
    }, end);
    await words(page).waitFor({ state: "detached" });
  }
  expect(await shots(page).count()).toBe(1);
});

it("copies dropped clips into the folder and makes shots of them in the order they were filmed", async () => {
  const { page, folder } = sitting.person;
  await (await dragOver(page, join(card, "one.mp4"), join(card, "two.mp4"))).drop();
  await words(page).waitFor({ state: "detached" });
  await shots(page).nth(2).waitFor();
  await untilSaved(page);
  const saved = await sitting.person.saved();
  expect(saved.shots.map(({ clip }) => clip)).toEqual(["here.mp4", "two.mp4", "one.mp4"]);
  for (const name of ["one.mp4", "two.mp4"]) {
    expect(await readFile(join(folder, name))).toEqual(await readFile(join(card, name)));
    expect((await stat(join(folder, name))).mtimeMs).toBe((await stat(join(card, name))).mtimeMs);
  }
});

it("shows the shot of a clip that the folder has, and copies nothing", async () => {
  const { page, folder } = sitting.person;
  const before = await stat(join(folder, "here.mp4"));
  await (await dragOver(page, join(folder, "here.mp4"))).drop();
  await page.locator(".shots ol .shot.current", { hasText: "Shot 1" }).waitFor();
  expect(await shots(page).count()).toBe(3);
  expect((await stat(join(folder, "here.mp4"))).ino).toBe(before.ino);
});

it("replaces no clip of the name, and says what the new one is called", async () => {
  const { page, folder } = sitting.person;
  const before = await readFile(join(folder, "here.mp4"));
  await (await dragOver(page, join(card, "here.mp4"), join(card, "notes.txt"))).drop();
  const told = page.locator(".app-notices");
  await told.getByText("the new one is called here (2).mp4 there").waitFor();
  await told.getByText("notes.txt is not a clip").waitFor();
  expect(await readFile(join(folder, "here.mp4"))).toEqual(before);
  expect(await readFile(join(folder, "here (2).mp4"), "utf8")).toBe("another clip of that name");
  for (let left = 2; left > 0; left--) {
    await told.getByRole("button", { name: "Dismiss" }).first().press("Enter");
    await told
      .getByRole("button", { name: "Dismiss" })
      .nth(left - 1)
      .waitFor({ state: "detached" });
  }
});

it("offers the clips of a dropped folder where the browser does not say where it lies", async () => {
  const { page, folder } = sitting.person;
  const inside = join(card, "day two");
  await mkdir(join(inside, "deeper"), { recursive: true });
  await makeClip(join(inside, "three.mp4"), FRAMES);
  await writeFile(join(inside, "deeper", "four.mp4"), "not directly in it");
  await writeFile(join(inside, "notes.txt"), "no clip");
  const before = await shots(page).count();
  const drag = await dragOver(page, inside);
  await words(page).waitFor();
  expect(await words(page).textContent()).toBe(
    `Add this clip, or the clips in this folder, to ${basename(folder)}`,
  );
  await drag.drop();
  const offer = page.getByRole("dialog", { name: "Folder day two" });
  await offer.getByText(/^1 clip with/).waitFor();
  await expectAccessible(page);
  await offer.getByRole("button", { name: `Copy the clip into ${basename(folder)}` }).press("Enter");
  await shots(page).nth(before).waitFor();
  await untilSaved(page);
  expect((await sitting.person.saved()).shots.at(-1)!.clip).toBe("three.mp4");
});

it("copies clips that are chosen by keyboard, in place of dropping them", async () => {
  const { page } = sitting.person;
  const before = await shots(page).count();
  await makeClip(join(card, "five.mp4"), FRAMES);
  const choosing = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: "Copy clips here" }).press("Enter");
  await (await choosing).setFiles(join(card, "five.mp4"));
  await shots(page).nth(before).waitFor();
  await untilSaved(page);
  expect((await sitting.person.saved()).shots.at(-1)!.clip).toBe("five.mp4");
  expect(sitting.person.complaints).toEqual([]);
});

it("adds nothing of a clip whose copying is stopped, and leaves no half of it", async () => {
  const { page, folder } = sitting.person;
  const before = await shots(page).count();
  await writeFile(join(card, "long.mp4"), Buffer.alloc(4_000_000, 1));
  let stopped = () => {};
  const held = new Promise<void>((resolve) => {
    stopped = resolve;
  });
  // The bytes are held back, as on a slow card, until the copying is stopped.
  await page.route("**/jobs/*/content", async (route) => {
    await held;
    await route.abort().catch(() => {}); // the page has let go of it
  });
  await (await dragOver(page, join(card, "long.mp4"))).drop();
  const job = page.locator(".job", { hasText: `Copying long.mp4 into ${basename(folder)}` });
  await job.getByRole("button", { name: "Stop" }).click();
  await job.waitFor({ state: "detached" });
  stopped();
  await page.unroute("**/jobs/*/content");
  const names = await page.evaluate(async () => {
    const id = new URL(location.href).searchParams.get("folder");
    const reply = await fetch(`/api/folders/${id}/clips`);
    return ((await reply.json()) as { clips: { name: string }[] }).clips.map(({ name }) => name);
  });
  expect(names).not.toContain("long.mp4");
  expect((await readdir(folder)).filter((name) => name.includes("long.mp4"))).toEqual([]);
  expect(await shots(page).count()).toBe(before);
});

it("says of a read-only folder that nothing can be copied into it, before and after the drop", async () => {
  const person = await sitDown(sitting.field, {
    fill: (folder) => makeClip(join(folder, "here.mp4"), FRAMES),
  });
  try {
    await withoutRights(person.folder, async () => {
      const { page } = person;
      await page.reload();
      await shots(page).waitFor();
      const drag = await dragOver(page, join(card, "two.mp4"));
      await page
        .getByText("is read-only: a clip that it has is shown, none can be copied into it.")
        .waitFor();
      expect(await page.getByRole("button", { name: "Copy clips here" }).count()).toBe(0);
      await drag.drop();
      await page.locator(".app-notices").getByText("is read-only: you have no right to it.").waitFor();
    });
    expect(await shots(person.page).count()).toBe(1);
  } finally {
    await person.leave();
  }
});

it("opens a dropped folder on the desktop, with what was typed saved first; and brings a clip by its path", async () => {
  const { page, folder } = sitting.person;
  const before = await shots(page).count();
  const may = join(folder, "May card");
  await mkdir(may);
  const desktop = await page.context().newPage();
  await desktop.addInitScript(
    (places) => {
      const pathOf = ({ name }: File) => places[name] ?? "";
      Object.assign(window, {
        loftmarkHost: { pathOf, pickFolder: async () => null, onFinishSaves: () => {} },
      });
    },
    { "May card": may, "six.mp4": join(card, "six.mp4") } as Record<string, string>,
  );
  try {
    await desktop.goto(sitting.person.host.url);
    await shots(desktop)
      .nth(before - 1)
      .waitFor();
    await openHeading(desktop, "clip");
    await desktop.getByLabel("Name of the shot").fill("Typed before the drop");
    const drag = await dragOver(desktop, may);
    await words(desktop).waitFor();
    expect(await words(desktop).textContent()).toBe(
      `Open this folder; or, if it is a clip, add it to ${basename(folder)}`,
    );
    await drag.drop();
    await desktop.getByText("This folder holds no clips that can be used yet.").waitFor();
    expect((await sitting.person.saved()).shots.map(({ name }) => name)).toContain("Typed before the drop");

    await makeClip(join(card, "six.mp4"), FRAMES);
    let sent = 0;
    await desktop.route("**/jobs/*/content", (route) => {
      sent++;
      return route.continue();
    });
    await (await dragOver(desktop, join(card, "six.mp4"))).drop();
    await desktop.locator(".shots ol .shot").waitFor();
    expect(await readFile(join(may, "six.mp4"))).toEqual(await readFile(join(card, "six.mp4")));
    expect(sent).toBe(0);
  } finally {
    await desktop.close();
  }
});
