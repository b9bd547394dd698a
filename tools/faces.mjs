import { copyFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { atRest, keepSheet, lookAt, PICTURES, withExample } from "./example-window.mjs";

/*
 * npm run faces [NAME ...]: every face of the window at four sizes, light and dark, to be looked at. They
 * go into out/faces, which is not kept; docs/pictures/faces keeps of each face a sheet of all eight at half
 * their size. Each is also held to what a machine can check of WCAG 2.1, levels A and AA: serious findings
 * are listed at the end, and it then fails.
 */

/** @typedef {import("playwright-core").Page} Page */
/** @typedef {import("./example-window.mjs").ExampleWindow} ExampleWindow */

/**
 * @typedef {object} Face
 * @property {string} name of its files
 * @property {(page: Page, folder: string) => Promise<unknown>} show brings the window to it
 * @property {string} [top] what stands at the top of the ledger, whose other headings it may be scrolled past
 * @property {(page: Page) => Promise<unknown>} [leave] takes back what the next face must not see
 * @property {string} [after] the face that it is reached from
 */

const ALL = join(dirname(dirname(fileURLToPath(import.meta.url))), "out", "faces");
const KEPT = join(PICTURES, "faces");
const LONGEST_MS = 300_000; // for a fit to three shots on a slow machine
const CLIP = "brindle-shot-1.mp4";
const SIZES = /** @type {const} */ ([
  { width: 1180, height: 760, at: [970, 460] }, // at: px, where it stands on the sheet
  { width: 640, height: 400, at: [0, 550] }, // 1280 by 800 at 200 %
  { width: 1440, height: 900, at: [970, 0] },
  { width: 1920, height: 1080, at: [0, 0] },
]);
const LIGHTS = /** @type {const} */ (["light", "dark"]);
const DARK_PX = 860; // px down the sheet, where the dark ones begin
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = { light: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"], dark: ["color-contrast"] };
const PRESSURES_BAR = [3.5, 3.4, 3.6]; // as stated; the clip is the same

/** @param {Page} page @param {string} name */
const press = (page, name) => page.getByRole("button", { name, exact: true }).first().click();

/** @param {Page} page @param {string} step @param {string} title */
async function unfold(page, step, title) {
  await lookAt(page, step);
  const fold = page.locator(`[data-step=${step}] details.more`, { hasText: title }).last();
  if ((await fold.getAttribute("open")) === null) await fold.locator("summary").first().click();
}

/** @param {string} step @returns {Face} */
const heading = (step) => ({ name: step, show: (page) => lookAt(page, step), top: `[data-step=${step}]` });

/**
 * A launcher of another kind in place of the one there.
 * @param {string} name
 * @param {string} words
 * @returns {Face}
 */
const launcherOf = (name, words) => ({
  name,
  async show(page) {
    await lookAt(page, "model");
    await press(page, "Another kind for this shot");
    await press(page, words);
  },
  top: "[data-step=model] h3:text-is('Launcher')",
  leave: async (page) => {
    await page.keyboard.press("Escape");
    await press(page, "Undo");
    await press(page, "Undo");
  },
});

/** @type {readonly Face[]} */
const FACES = [
  { name: "window", show: (page) => lookAt(page, "motion"), top: ".ledger-head" },
  ...["clip", "clock", "scale", "marks", "motion"].map(heading),
  {
    name: "budget",
    async show(page) {
      await page.locator(".budget summary").first().click();
      await press(page, "Draw all inputs");
      await page.locator(".drawn [role=status]").waitFor();
    },
    top: ".budget",
  },
  {
    name: "large-figure",
    show: (page) => page.getByRole("button", { name: /^Larger: Speed/ }).click(),
    top: "[data-step=motion]",
    leave: (page) => page.keyboard.press("Escape"),
    after: "motion",
  },
  heading("model"),
  { name: "ram", show: (page) => lookAt(page, "model"), top: "[data-step=model] h3:text-is('Launcher')" },
  {
    name: "shelf",
    async show(page) {
      await lookAt(page, "model");
      const fold = page.locator("[data-step=model] details.more", { hasText: "Shelf" }).last();
      await fold.locator("summary").first().click();
      await fold.getByRole("button").first().click();
      await fold.locator(".shelf-row").first().waitFor();
    },
    top: "[data-step=model] details.more[open]:has-text('Shelf')",
  },
  launcherOf("rocket", "Describe rocket motors"),
  launcherOf("elastic", "Describe an elastic line"),
  launcherOf("hand", "Thrown by hand, or no model"),
  heading("verdict"),
  {
    name: "on-board",
    show: (page) => unfold(page, "verdict", "Log carried on board"),
    top: "[data-step=verdict] details.more:has-text('Log carried on board')",
  },
  {
    name: "tuning",
    async show(page) {
      await lookAt(page, "tuning");
      const section = page.locator("[data-step=tuning]");
      await section.getByRole("button", { name: /^Tune on/ }).click();
      await section.locator("[data-input]").first().waitFor();
    },
    top: "[data-step=tuning]",
  },
  {
    name: "next-shot",
    async show(page) {
      await lookAt(page, "next-shot");
      const section = page.locator("[data-step=next-shot]");
      await section.getByLabel("Release speed wanted").fill("14");
      await page.keyboard.press("Enter");
      await section.locator(".next-shot[aria-busy=false]").waitFor();
    },
    top: "[data-step=next-shot]",
  },
  {
    name: "history",
    show: (page) => press(page, "History"),
    top: ".ledger-head",
    leave: (page) => press(page, "History"),
  },
  { name: "view-sheet", show: (page) => press(page, "View"), leave: (page) => press(page, "View") },
  { name: "guide", show: (page) => press(page, "Guide"), leave: (page) => page.keyboard.press("Escape") },
  {
    name: "plan-camera",
    async show(page) {
      await press(page, "Plan the camera");
      await page.locator(".plan-figures[aria-busy=false]").waitFor();
    },
    leave: (page) => page.keyboard.press("Escape"),
  },
  { name: "day", show: (page) => press(page, "The day") },
  {
    name: "overlay",
    async show(page) {
      await press(page, "Choose all");
      await page.locator(".day-figures figure svg").first().waitFor();
      await page.locator(".day-figures").first().scrollIntoViewIfNeeded();
    },
    top: ".day-figures h2",
    after: "day",
  },
  {
    name: "pictures",
    async show(page) {
      const part = page.getByRole("region", { name: "Pictures", exact: true });
      await part.getByRole("button", { name: "Show", exact: true }).click();
      await part.locator(".beside-picture[data-shown]").nth(1).waitFor();
      await atRest(page);
    },
    top: ".beside h2",
    after: "overlay",
    leave: async (page) => {
      await press(page, "Choose none");
      await press(page, "The day");
    },
  },
  {
    name: "another-clip",
    async show(page) {
      await press(page, "Add the new clip");
      await page.getByRole("button", { name: "Take it over" }).waitFor();
    },
    top: ".carried",
  },
  {
    name: "to-do",
    show: (page) => press(page, "Set it up by hand"),
    after: "another-clip",
    top: ".ledger-head",
  },
  {
    name: "conflict",
    async show(page, folder) {
      const path = join(folder, "loftmark.json");
      const session = JSON.parse(readFileSync(path, "utf8"));
      writeFileSync(path, JSON.stringify({ ...session, title: "Changed elsewhere" }));
      await page.getByLabel("Name of the shot").fill("Mine");
      await page.keyboard.press("Enter");
      await page.getByRole("button", { name: "Keep this window's" }).waitFor();
    },
    top: ".ledger-head",
    leave: (page) => press(page, "Keep this window's"),
  },
  {
    name: "unreadable",
    async show(page, folder) {
      const { href } = new URL(page.url());
      await page.goto("about:blank");
      writeFileSync(join(folder, "loftmark.json"), "{ half of it");
      await page.goto(href);
      await page.getByText(/not readable as JSON/).waitFor();
    },
  },
];

const asked = process.argv.slice(2);
const unknown = asked.filter((name) => !FACES.some((face) => face.name === name));
if (unknown.length > 0) {
  console.error(`There is no face ${unknown.join(", ")}: ${FACES.map(({ name }) => name).join(", ")}.`);
  process.exit(2);
}
const wanted = (/** @type {Face} */ { name }) => asked.length === 0 || asked.includes(name);
if (asked.length === 0) rmSync(ALL, { recursive: true, force: true });
for (const place of [ALL, KEPT]) mkdirSync(place, { recursive: true });
/** @type {string[]} */
const findings = [];
await withExample(SIZES[2], takeFaces, threeShots);
for (const one of findings) console.error(one);
if (findings.length > 0) process.exit(1);

/**
 * Three shots of the example's clip at other pressures, and a second clip that is no shot yet.
 * @param {string} folder
 */
function threeShots(folder) {
  copyFileSync(join(folder, CLIP), join(folder, "brindle-shot-2.mp4"));
  const path = join(folder, "loftmark.json");
  const session = JSON.parse(readFileSync(path, "utf8"));
  const [first] = session.shots;
  const shots = PRESSURES_BAR.map((bar, i) => ({
    ...first,
    id: i === 0 ? first.id : `shot-at-${i + 1}`,
    name: `Shot ${i + 1}`,
    conditions: { ...first.conditions, gaugePressurePa: { value: bar * 1e5, u: 5e3 } },
  }));
  writeFileSync(path, JSON.stringify({ ...session, shots }));
}

/** Faces come one after the other, each from where the one before left off. @param {ExampleWindow} window */
async function takeFaces({ page, folder }) {
  page.setDefaultTimeout(LONGEST_MS);
  await page.locator("[data-headline=releaseSpeed] b").waitFor();
  await atRest(page);
  for (const face of FACES) {
    const leadsOn = FACES.some((one) => one.after === face.name && wanted(one));
    if (!wanted(face) && !leadsOn) continue;
    await page.setViewportSize(SIZES[2]);
    await face.show(page, folder);
    if (wanted(face)) await takeFace(page, face);
    await face.leave?.(page);
  }
}

/** One face at every size, in both lights. @param {Page} page @param {Face} face */
async function takeFace(page, face) {
  const sheet = [];
  for (const { width, height, at } of SIZES) {
    await page.setViewportSize({ width, height });
    await page.mouse.move(2, 2);
    await page.waitForTimeout(400); // figures are drawn anew for their width
    if (face.top !== undefined) await bringUp(page, face.top);
    for (const light of LIGHTS) {
      await page.emulateMedia({ colorScheme: light });
      await page.waitForTimeout(150);
      const picture = join(ALL, `${face.name}-${width}x${height}-${light}.png`);
      await page.screenshot({ path: picture, animations: "disabled", caret: "hide" });
      sheet.push({ picture, x: at[0], y: at[1] + (light === "dark" ? DARK_PX : 0) });
      if (width === 1440)
        findings.push(...(await inaccessible(page, `${face.name}, ${light}`, RULES[light])));
    }
    await page.emulateMedia({ colorScheme: "light" });
  }
  keepSheet(sheet, join(KEPT, `${face.name}.webp`));
  console.log(face.name);
}

/**
 * Scrolls a thing to the top of what it is scrolled in, under what stays there.
 * @param {Page} page
 * @param {string} top
 */
async function bringUp(page, top) {
  await page
    .locator(top)
    .first()
    .evaluate((thing) => {
      const scroller = thing.closest(".ledger, .day");
      const results = scroller?.querySelector("[aria-label='Headline results']");
      const stays = results && getComputedStyle(results).position === "sticky";
      const covered = stays ? results.clientHeight : 0;
      const from = scroller?.getBoundingClientRect().top ?? 0;
      scroller?.scrollBy(0, thing.getBoundingClientRect().top - from - covered - 8);
    });
  await page.waitForTimeout(200);
}

/**
 * What a machine finds inaccessible in what the window shows now.
 * @param {Page} page
 * @param {string} where
 * @param {readonly string[]} runOnly rules or tags of rules
 * @returns {Promise<string[]>} serious and critical findings, a line each
 */
async function inaccessible(page, where, runOnly) {
  if (!(await page.evaluate(() => "axe" in window))) await page.evaluate(AXE);
  const { violations } = await page.evaluate(
    // @ts-expect-error the script above made it
    (only) => axe.run(document, { runOnly: only, resultTypes: ["violations"] }),
    runOnly,
  );
  return violations
    .filter((/** @type {{ impact: string }} */ { impact }) => ["serious", "critical"].includes(impact))
    .flatMap((/** @type {{ id: string, nodes: { html: string }[] }} */ { id, nodes }) =>
      nodes.map(({ html }) => `${where}: ${id}: ${html}`),
    );
}
