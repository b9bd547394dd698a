import { appendFile, copyFile, mkdir, readFile, rm, writeFile } from "node:fs/promises";
import { basename, join } from "node:path";
import type { Page, Request } from "playwright-core";
import { expect, it, onTestFinished } from "vitest";
import type { Session } from "../../src/shared/session/schema.ts";
import { frameNow, handedOut, oneSitting, openHeading, type Person, untilSaved } from "./person.ts";

const PRESSURES = [8, 5, 6.5]; // bar, as stated; the clip is the same

/** Three shots of the example's clip at other pressures, one of them of a launcher by another name. */
function threeShots(session: Session): Session {
  const [first] = session.shots;
  const launchers = [...session.launchers, { ...session.launchers[0]!, id: "launcher-2", name: "Other ram" }];
  const shots = PRESSURES.map((bar, i) => ({
    ...first!,
    id: `shot-${i + 1}`,
    name: `Shot ${i + 1}`,
    launcherId: launchers[i % 2]!.id,
    conditions: { ...first!.conditions, gaugePressurePa: { value: bar * 1e5, u: 5e3 } },
  }));
  return { ...session, launchers, shots };
}

const sitting = oneSitting({ session: threeShots });

/** The day as it is seen when the folder is opened again: filter, columns and choices are forgotten. */
async function openedAgain(): Promise<Person> {
  const { person } = sitting;
  await person.page.goto(person.host.url);
  await openDay(person.page);
  return person;
}

/** The day as the test before left it, which chose nothing that matters here: to open it takes seconds. */
async function stillOpen(): Promise<Person> {
  const { person } = sitting;
  await openDay(person.page);
  return person;
}

async function openDay(page: Page): Promise<void> {
  const button = page.getByRole("button", { name: "The day" });
  if ((await button.getAttribute("aria-pressed")) !== "true") await button.click();
  await page.waitForFunction(() => {
    const cells = [...document.querySelectorAll("[data-column=release-speed]")];
    return cells.length === 3 && cells.every((cell) => cell.textContent !== "");
  });
}

const cells = (page: Page, column: string) => page.locator(`td[data-column=${column}]`).allTextContents();

it("shows a day that is opened again without measuring it again", async () => {
  const { page, host } = sitting.person;
  const keeping = new Set<Request>();
  const keeps = (request: Request) => /\/measured$/.test(request.url()) && request.method() !== "GET";
  page.on("request", (request) => void (keeps(request) && keeping.add(request)));
  page.on("requestfinished", (request) => void keeping.delete(request));
  await openDay(page);
  const speeds = await cells(page, "release-speed");
  await untilSaved(page);
  await page.waitForFunction(
    () => document.querySelector("[data-measuring]")?.getAttribute("data-measuring") === "settled",
  );
  await expect.poll(() => keeping.size).toBe(0);
  const asked = page.waitForResponse(
    (answer) => /\/measured$/.test(answer.url()) && answer.request().method() === "GET",
  );
  await page.goto(host.url);
  const kept = (await (await asked).json()) as { measured: unknown[] };
  expect(kept.measured).toHaveLength(3);
  await openDay(page);
  expect(await cells(page, "release-speed")).toEqual(speeds);
  expect(page.workers().filter((worker) => worker.url().includes("measure-worker"))).toEqual([]);
});

it("shows every shot as a row, sorted, filtered and with the columns wanted, and hands the table out", async () => {
  const person = await stillOpen();
  const { page } = person;
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  expect(await cells(page, "name")).toEqual(["Shot 1", "Shot 2", "Shot 3"]);
  for (const speed of await cells(page, "release-speed")) expect(speed).toMatch(/^1\d\.\d+ ± 0\.\d+$/);
  await page.getByRole("button", { name: "Pressure, bar" }).click();
  expect(await cells(page, "pressure")).toEqual(["5.00 ± 0.05", "6.50 ± 0.05", "8.00 ± 0.05"]);
  await page.getByRole("button", { name: "Pressure, bar" }).click();
  expect(await cells(page, "name")).toEqual(["Shot 1", "Shot 3", "Shot 2"]);
  expect(await page.getByRole("columnheader", { name: "Pressure, bar" }).getAttribute("aria-sort")).toBe(
    "descending",
  );
  await page.getByLabel("Show rows with").fill("shot 6.50");
  expect(await cells(page, "name")).toEqual(["Shot 3"]);
  await page.getByLabel("Show rows with").fill("");

  await page.getByRole("button", { name: "Columns" }).click();
  await page.getByRole("checkbox", { name: "Mass" }).check();
  await page.getByRole("checkbox", { name: "Clip written" }).uncheck();
  expect(await page.locator("td[data-column=time]").count()).toBe(0);
  expect((await cells(page, "mass"))[0]).toMatch(/^0\.\d+ ± 0\.\d+$/);

  await page.getByRole("button", { name: "Copy as text" }).click();
  await page.getByText("3 rows copied.").waitFor();
  const copied = (await page.evaluate(() => navigator.clipboard.readText())).split("\n");
  expect(copied).toHaveLength(4);
  expect(copied[0]).toMatch(/^Shot\tAirframe\tLauncher\tPressure, bar\tMass, kg\tRelease speed, m\/s/);
  expect(copied[1]).toMatch(/^Shot 1\t.*8\.00 ± 0\.05/);

  const csv = (
    await handedOut(person, () => page.getByRole("button", { name: "Save as CSV" }).click())
  ).split("\r\n");
  expect(csv[0]).toContain("gauge_pressure_pa,u_gauge_pressure_pa,");
  expect(csv[1]).toMatch(/^Shot 1,.*,800000,5000,/);
  expect(person.complaints).toEqual([]);
});

it("is edited by keyboard alone, and undone", async () => {
  const person = await openedAgain();
  const { page } = person;
  await page.locator("td[data-column=name]").first().focus();
  await page.keyboard.type("Cold start");
  await page.keyboard.press("Enter"); // on to the row below
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("End");
  await page.keyboard.press("Home");
  for (let i = 0; i < 6; i++) await page.keyboard.press("ArrowRight"); // number, curves, name, time, airframe, launcher
  await page.keyboard.press("Enter");
  await page.keyboard.type("4.25");
  await page.keyboard.press("Tab");
  await page.keyboard.type("0.04");
  await page.keyboard.press("Enter");
  await untilSaved(page);
  expect((await cells(page, "name"))[0]).toBe("Cold start");
  expect((await cells(page, "pressure"))[1]).toBe("4.25 ± 0.04");
  const { shots } = await person.saved();
  expect(shots[0]!.name).toBe("Cold start");
  expect(shots[1]!.conditions.gaugePressurePa).toEqual({
    value: expect.closeTo(425_000, 6),
    u: expect.closeTo(4000, 6),
  });
  // The prediction goes with the pressure: at 4.25 bar it is well below that at 6.5 bar.
  await page.waitForFunction(() => {
    const [, low, high] = [...document.querySelectorAll("td[data-column=predicted]")].map((cell) =>
      Number(cell.textContent?.split(" ")[0]),
    );
    return low! < high! - 1;
  });
  await page.keyboard.press("Control+z");
  await page.keyboard.press("Control+z");
  expect(await cells(page, "name")).toEqual(["Shot 1", "Shot 2", "Shot 3"]);
  await page.keyboard.press("Home");
  await page.keyboard.press("Enter"); // the number leads to the shot
  await page.locator(".day").waitFor({ state: "detached" });
  expect(await page.locator(".shot.current .shot-number").textContent()).toBe("3");
  expect(person.complaints).toEqual([]);
});

it("lays the curves of chosen shots over each other, reads them under the pointer, and hands the figure out", async () => {
  const person = await stillOpen();
  const { page } = person;
  const chosen = page.getByRole("region", { name: "Chosen shots", exact: true });
  const row = (name: string) => page.getByRole("checkbox", { name: `Draw the curves of ${name}` });
  await row("Shot 2").check();
  await row("Shot 3").check();
  const names = () => chosen.locator(".figure-plot text").allTextContents();
  expect(await names()).toEqual(
    expect.arrayContaining(["Speed v, m/s", "Shot 2", "Shot 3", "time from release t, ms"]),
  );
  await page.getByRole("combobox", { name: "against", exact: true }).selectOption("travel");
  expect(await names()).toContain("travel s, m");
  await page.getByRole("combobox", { name: "reference" }).selectOption("Shot 3");
  await page.getByRole("checkbox", { name: "differences" }).check();
  expect(await names()).toContain("Less Shot 3, m/s");
  await page.getByRole("checkbox", { name: "each for itself" }).check();
  expect(await chosen.locator(".figure-plot svg title").textContent()).toBe(
    "Speed of 2 shots against travel",
  );
  await page.getByRole("checkbox", { name: "each for itself" }).uncheck();

  await page.getByRole("button", { name: /^Larger: Speed of 2 shots/ }).click();
  const large = page.locator(".large-box .figure-plot");
  await large.hover({ position: { x: 300, y: 150 } });
  const said = (await page.getByTestId("large-reading").textContent())!;
  expect(said).toMatch(/^travel [\d.]+ m: Shot 2 [\d.]+ ± [\d.]+ m\/s.*Shot 3, less|^travel [\d.]+ m: /);
  const svg = await handedOut(person, () => page.getByRole("button", { name: "Save as SVG" }).click());
  expect(svg).toMatch(/^<svg xmlns=.*Less Shot 3/s);
  const png = await handedOut(person, () => page.getByRole("button", { name: "Save as PNG" }).click());
  expect(png.slice(1, 4)).toBe("PNG");
  await page.keyboard.press("Escape");
  await page.locator(".large-figure").waitFor({ state: "detached" });
  expect(person.complaints).toEqual([]);
});

it("sets results against what was set, kinds told apart by mark and name, and hands the figure out", async () => {
  const person = await openedAgain();
  const { page } = person;
  const part = page.getByRole("region", { name: "Results against what was set" });
  const caption = part.locator("figcaption");
  const predicted = () =>
    page.waitForFunction(() => {
      const said = document.querySelector("[aria-label='Results against what was set'] figcaption");
      return said !== null && !said.textContent!.includes("worked out");
    });
  await predicted();
  const texts = () => part.locator(".figure-plot text").allTextContents();
  expect(await texts()).toEqual(
    expect.arrayContaining(["Release speed v, m/s", "Other ram", "predicted, Other ram", "Shot 2"]),
  );
  expect(await part.locator(".figure-plot svg title").textContent()).toBe(
    "Release speed of 3 shots against tank pressure, gauge",
  );
  expect(await caption.textContent()).toContain("Predicted for Other ram as Shot 2 was set otherwise.");

  await part.getByRole("combobox", { name: "Result" }).selectOption("Pitch rate at release");
  expect(await texts()).toContain("Pitch rate at release ω, °/s");
  await part.getByRole("combobox", { name: "Result" }).selectOption("Release speed");
  await part.getByRole("combobox", { name: "set against" }).selectOption("airframe's mass");
  await predicted();
  expect(await caption.textContent()).toContain("These shots were not all alike");
  await page.getByRole("checkbox", { name: "Draw the curves of Shot 2" }).check();
  await predicted();
  expect(await part.locator(".figure-plot svg title").textContent()).toBe(
    "Release speed of 1 shot against all-up mass",
  );

  await part.getByRole("button", { name: /^Larger: Release speed of 1 shot/ }).click();
  const large = page.locator(".large-box .figure-plot");
  await large.hover({ position: { x: 300, y: 150 } });
  expect(await page.getByTestId("large-reading").textContent()).toMatch(
    /^All-up mass [\d.]+ kg: .*predicted [\d.]+ ± [\d.]+ m\/s/,
  );
  const svg = await handedOut(person, () => page.getByRole("button", { name: "Save as SVG" }).click());
  expect(svg).toMatch(/^<svg xmlns=.*predicted/s);
  await page.keyboard.press("Escape");
  await page.locator(".large-figure").waitFor({ state: "detached" });
  expect(person.complaints).toEqual([]);
});

it("shows where more columns follow beside the table, and in its head which way a difference is taken", async () => {
  const person = await stillOpen();
  const { page } = person;
  await page.setViewportSize({ width: 1180, height: 760 });
  const head = page.getByRole("button", { name: "Predicted − measured, m/s" });
  expect(await head.getAttribute("title")).toMatch(/^positive where the model says faster/);
  const more = page.getByText("More columns follow at the right");
  await more.waitFor();
  const spread = page.locator(".day-spread");
  expect(await spread.getAttribute("data-more")).toBe("right");
  await page.locator(".day-paper").evaluate((paper) => paper.scrollTo({ left: paper.scrollWidth }));
  await page.locator(".day-spread[data-more=left]").waitFor();
  expect(await more.count()).toBe(0);
  expect(person.complaints).toEqual([]);
});

it("opens a figure over the frame's place, reads it at the frame, goes to the frame clicked, and copies a number", async () => {
  const person = await stillOpen();
  const { page } = person;
  await page.setViewportSize({ width: 1440, height: 900 });
  await page.getByRole("button", { name: "The day" }).click(); // closed: the shot stands there
  await page.context().grantPermissions(["clipboard-read", "clipboard-write"]);
  await page.locator(".figure-plot").first().waitFor();
  await page.getByRole("button", { name: /^Larger: Speed/ }).click();
  const plot = page.locator(".large-box .figure-plot");
  const box = (await plot.boundingBox())!;
  const before = await frameNow(page);
  const x = 0.4 * box.width;
  await plot.click({ position: { x, y: 0.4 * box.height } });
  const after = await frameNow(page);
  expect(after).not.toBe(before);
  await page.mouse.move(5, 5); // off the figure: it is read at the frame
  const line = (await page.locator(".large-box [data-testid=figure-instant]").boundingBox())!;
  // The frame nearest to the click: the line is within half the way between two frames of it.
  expect(Math.abs(line.x - box.x - x)).toBeLessThan(8);
  const reading = page.getByTestId("large-reading");
  expect(await reading.textContent()).toMatch(/ms from release:.*measured [\d.−]+ ± [\d.]+ m\/s/);
  const said = await reading.textContent();
  await page.locator(".large-box").click({ position: { x: 2, y: 2 } });
  await page.keyboard.press("Shift+ArrowRight");
  expect(await frameNow(page)).toBe(after + 10);
  expect(await reading.textContent()).not.toBe(said);
  await page.getByRole("button", { name: /^measured: copy/ }).click();
  expect(await page.evaluate(() => navigator.clipboard.readText())).toMatch(/^[\d.]+ ± [\d.]+ m\/s$/);
  await page.locator(".large-figure").getByRole("button", { name: "Close" }).click();
  expect(await page.evaluate(() => document.activeElement?.getAttribute("aria-label"))).toMatch(
    /^Larger: Speed/,
  );
  expect(person.complaints).toEqual([]);
});

it("takes shots of another outing into table, curves and tuning, leaves one out, undoes, and says when its folder changed", async () => {
  const { folder } = sitting.person;
  const earlier = `${folder}-earlier`;
  await mkdir(earlier);
  onTestFinished(() => rm(earlier, { recursive: true, force: true }));
  const { clips: _clips, ...session } = await sitting.person.saved();
  const [first] = session.shots;
  const shots = [{ ...first!, name: "Early throw" }];
  const file = join(earlier, "loftmark.json");
  await writeFile(file, JSON.stringify({ ...session, title: "An afternoon", shots }));
  // The same pictures with an empty box at the end: the very same clip would not count twice.
  const clip = join(earlier, first!.clip!);
  await copyFile(join(folder, first!.clip!), clip);
  await appendFile(clip, Uint8Array.of(0, 0, 0, 8, ...new TextEncoder().encode("free")));

  const person = await openedAgain();
  const { page } = person;
  await openHeading(page, "tuning");
  const section = page.locator("[data-step=tuning]");
  await section.getByText("none named").click();
  const path = section.getByLabel("Folder of another outing");
  await path.fill(folder);
  await path.press("Enter");
  await section.getByText(/folder of the session itself/).waitFor();
  await path.fill(`../${basename(earlier)}`);
  await section.getByRole("button", { name: "Name this outing" }).click();
  const outing = section.getByRole("region", { name: "Outing An afternoon" });
  await outing.getByText(/: as it was read\./).waitFor();
  expect(await outing.textContent()).toMatch(/is taken for another camera than today’s/);
  await path.fill(earlier);
  await path.press("Enter");
  await section.getByText(/it is named already/).waitFor();

  // The row is marked and only read; its speed is the one of the same marks here.
  const row = page.locator("tr.day-elsewhere");
  expect(await row.locator("td[data-column=name]").textContent()).toBe("Early throw of An afternoon");
  const speeds = await cells(page, "release-speed");
  expect(speeds).toHaveLength(4);
  expect(speeds[3]).toBe(speeds[0]);
  await row.locator("td[data-column=name]").press("F2");
  expect(await row.locator("input[type=text]").count()).toBe(0);
  for (const name of ["Early throw of An afternoon", "Shot 1"]) {
    await page.getByLabel(`Draw the curves of ${name}`).check();
  }
  const overlay = page.getByRole("region", { name: "Chosen shots" });
  expect(await overlay.textContent()).toMatch(/2 chosen shots/);
  await section.getByRole("group", { name: "Early throw of An afternoon" }).waitFor();

  await outing.getByLabel("Early throw", { exact: true }).uncheck();
  await expect.poll(() => row.count()).toBe(0);
  await page.keyboard.press("Control+z");
  await expect.poll(() => row.count()).toBe(1);
  await untilSaved(page);
  expect((await person.saved()).outings).toMatchObject([{ path: `../${basename(earlier)}`, leftOut: [] }]);

  await writeFile(file, (await readFile(file, "utf8")).replace("An afternoon", "An evening"));
  await openHeading(page, "model");
  await openHeading(page, "tuning");
  await section.getByText(/1 changed since/).click();
  await outing.getByRole("button", { name: "Take its new numbers" }).waitFor();
  await outing.getByRole("button", { name: "Leave this outing out" }).click();
  await expect.poll(() => row.count()).toBe(0);
  expect(person.complaints).toEqual([]);
});
