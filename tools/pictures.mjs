import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import { atRest, lookAt, PICTURES, PROGRAM, takePicture, withExample } from "./example-window.mjs";

/*
 * npm run pictures: the pictures of docs/guide.md, taken of the app as a person would use it on a new example
 * launch. Nothing is drawn or retouched; the colours are only reduced to a palette, to keep the files small.
 */

/** @typedef {import("playwright-core").Page} Page */
/** @typedef {import("playwright-core").Locator} Locator */
/** @typedef {{ x: number, y: number, width: number, height: number }} Box */

const WINDOW = { width: 1440, height: 900 };
const TALL = { width: 1440, height: 1900 }; // the whole of a long heading of the ledger at once
const SCALE_TOP = 310; // css px from the window's top, where the picture of the scale begins
const MOST_BYTES = 250_000;

/** @type {string} */
let folder;
/** @type {NodeJS.ProcessEnv} */
let env;
await withExample(WINDOW, async (opened) => {
  ({ folder, env } = opened);
  await takeAll(opened.page, opened.url);
});

/** @param {Page} page @param {string} url where the window is opened anew */
async function takeAll(page, url) {
  await page.locator("[data-headline=releaseSpeed] b").waitFor();
  await atRest(page);
  await takeWindow(page);
  await takeScale(page);
  await takeMarks(page);
  await takeStrip(page);
  await takeLedger(page);
  await takeReport(page);
  await page.goto(url);
  await page.locator("[data-headline=releaseSpeed] b").waitFor();
  await takeLoads(page);
  await takeNextShot(page);
  await takeTuning(page);
  await takeOnBoard(page);
  await takeCurve(page);
  await takeCard(page);
  await page.goto(url);
  await page.locator("[data-headline=releaseSpeed] b").waitFor();
  await takeFlight(page);
}

/** The whole window a few frames after release, light and dark. @param {Page} page */
async function takeWindow(page) {
  await lookAt(page, "motion");
  for (let i = 0; i < 4; i++) await page.keyboard.press("Shift+ArrowRight");
  await atRest(page);
  await page.locator(".ledger").evaluate((ledger) => ledger.scrollTo(0, 0));
  await take(page, "window-light");
  await page.getByRole("button", { name: "Dark", exact: true }).click();
  await page.mouse.move(2, 2);
  await page.waitForTimeout(200); // the button's own focus and hover fade
  await take(page, "window-dark");
  await page.getByRole("button", { name: "Light", exact: true }).click();
}

/** An end of the scale rod being dragged, under the loupe. @param {Page} page */
async function takeScale(page) {
  const shot = savedShot();
  await lookAt(page, "scale");
  // The heading beside the rod, so that one picture holds both.
  await bringUp(page.locator("[data-step=scale]"));
  const end = await onPage(page, shot.scale.b);
  await page.mouse.move(end.x, end.y);
  await page.mouse.down();
  await page.mouse.move(end.x - 6, end.y - 2, { steps: 3 });
  await page.mouse.move(end.x, end.y, { steps: 3 });
  await page.locator(".loupe").waitFor();
  const { width, height } = WINDOW;
  await take(page, "scale", { x: 380, y: SCALE_TOP, width: width - 380, height: height - SCALE_TOP - 210 });
  await page.keyboard.press("Escape");
  await page.mouse.up();
}

/** A frame zoomed in while its marks are placed. @param {Page} page */
async function takeMarks(page) {
  await lookAt(page, "marks");
  await page.locator(".frame").focus();
  await page.keyboard.press("1");
  const shown = (await page.getByTestId("frame-number").textContent()) ?? "";
  const frame = Number(/\d+/.exec(shown)?.[0]);
  const [nose, tail] = [markOf("nose", frame), markOf("tail", frame)];
  const middle = await onPage(page, [(nose[0] + tail[0]) / 2, (nose[1] + tail[1]) / 2]);
  await page.mouse.move(middle.x, middle.y);
  await page.mouse.wheel(0, -780);
  await page.waitForTimeout(100);
  const pointer = await onPage(page, [nose[0] + 1, nose[1] + 1]);
  await page.mouse.move(pointer.x, pointer.y);
  await page.locator(".loupe").waitFor();
  const [view, bar] = [await boxOf(page.locator(".frame-box")), await boxOf(page.locator(".frame-bar"))];
  await take(page, "marks", around({ ...view, height: bar.y + bar.height - view.y }, 6));
  await page.mouse.move(2, 2);
  await page.keyboard.press("0");
}

/** The strip alone. @param {Page} page */
async function takeStrip(page) {
  await lookAt(page, "motion");
  await take(page, "strip", around(await boxOf(page.locator(".strip")), 6));
}

/** Parts of the ledger, in a window tall enough to hold them. @param {Page} page */
async function takeLedger(page) {
  await page.setViewportSize(TALL);
  const under = (/** @type {string} */ step) => page.locator(`[data-step=${step}]`);
  const [motion, model, verdict] = [under("motion"), under("model"), under("verdict")];
  const named = (/** @type {Locator} */ section, /** @type {string} */ name) =>
    section.getByRole("heading", { name, exact: true });
  await lookAt(page, "motion");
  await takeBetween(page, "motion", motion, motion.locator("figure").nth(2));
  await lookAt(page, "model");
  await takeBetween(page, "model", named(model, "This shot"), named(model, "Launcher"));
  await lookAt(page, "verdict");
  await takeBetween(page, "verdict", verdict, named(verdict, "What the airframe withstands"));
  await page.setViewportSize(WINDOW);
}

/** What end stop and base take, once their ratings are typed in. @param {Page} page */
async function takeLoads(page) {
  await page.setViewportSize(TALL);
  await lookAt(page, "model");
  const model = page.locator("[data-step=model]");
  const fold = (/** @type {string} */ title) => model.locator("details.more", { hasText: title });
  const stop = fold("End stop and base");
  await stop.locator("summary").click();
  await stop.getByLabel("known", { exact: true }).check();
  const travel = model.getByRole("group", { name: "Buffer's travel until it stops" }).locator("input");
  await typeInto(travel.first(), "20");
  await typeInto(travel.last(), "2");
  await typeInto(model.getByLabel("Rated load of the weakest joint there"), "4000");
  await typeInto(model.getByLabel("Rated load of the base's fixings"), "3000");
  await page.mouse.move(2, 2);
  await atRest(page);
  await bringUp(stop);
  await takeBetween(page, "loads", stop, fold("Heat of the gas"));
  await typeInto(travel.first(), "80"); // a buffer long enough for the next shot
  await page.setViewportSize(WINDOW);
}

/** The answer to a wanted speed, with its chart. @param {Page} page */
async function takeNextShot(page) {
  await page.setViewportSize(TALL);
  await lookAt(page, "next-shot");
  const section = page.locator("[data-step=next-shot]");
  await typeInto(section.getByLabel("Release speed wanted"), "14");
  await typeInto(section.getByLabel("It may be off by ±"), "0.5");
  await typeInto(section.getByLabel("Least stall margin"), "1.3");
  await section.locator(".next-answer").waitFor();
  await section.locator(".next-shot[aria-busy=false]").waitFor();
  await atRest(page);
  await bringUp(section);
  await takeBetween(page, "next-shot", section, section.getByRole("heading", { name: /^Limits/ }));
  await page.setViewportSize(WINDOW);
}

/** An invented accelerometer's log of the example shot, held against its footage. @param {Page} page */
async function takeOnBoard(page) {
  writeFileSync(join(folder, "flight.csv"), accelerometerLog());
  await page.setViewportSize(TALL);
  await lookAt(page, "verdict");
  const part = page.locator("[data-step=verdict] details.more", { hasText: "Log carried on board" });
  await part.locator("summary").click();
  await part.getByRole("button", { name: "Choose a log" }).click();
  await part.getByText("flight.csv", { exact: true }).click();
  await part.locator("figure svg").waitFor();
  await atRest(page);
  await bringUp(part);
  const end = page.locator("[data-step=verdict]").getByRole("heading", { name: "Write-up", exact: true });
  await takeBetween(page, "on-board", part, end);
  await page.setViewportSize(WINDOW);
}

/** A push to 13.9 m/s within 105 ms at 23.4 degrees, and the drag after it, 400 readings a second. */
function accelerometerLog() {
  let state = 4242;
  const uniform = () => {
    state = (state * 16807) % 2147483647; // Park and Miller
    return state / 2147483647;
  };
  const [g, sine, length, most] = [9.80665, Math.sin(0.4084), 0.105, 208];
  const rows = Array.from({ length: 1000 }, (_, i) => {
    const t = i / 400;
    const x = (t - 1.2) / length;
    const push = most * Math.sin(Math.PI * Math.min(1, x)) + g * sine;
    const speed = 13.9 / (1 + 0.16 * Math.max(0, t - 1.2 - length));
    const force = x < 0 ? g * sine : x < 1 ? push : -0.0115 * speed ** 2;
    const error = 0.05 * Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    return `${t.toFixed(4)},${(force / g + 0.03 + error).toFixed(3)}`;
  });
  return ["time (s),acceleration (g)", ...rows, ""].join("\n");
}

/** The card for the field, as the verb writes it for two masses. @param {Page} page */
async function takeCard(page) {
  const card = join(dirname(folder), "card.svg");
  const made = spawnSync(process.execPath, [PROGRAM, "next-shot", folder, "--card", card, "--mass", "0.75"], {
    env,
    stdio: ["ignore", 2, 2],
  });
  if (made.status !== 0) throw new Error("The card was not made.");
  await page.setViewportSize({ width: 794, height: 526 });
  await page.goto(pathToFileURL(card).href);
  await take(page, "card");
}

/** Where a rocket comes down, its motors described in place of the example's ram. @param {Page} page */
async function takeFlight(page) {
  await page.setViewportSize(TALL);
  await lookAt(page, "model");
  await page.getByRole("button", { name: "Remove the launcher" }).click();
  await page.getByRole("button", { name: "Describe rocket motors" }).click();
  await typePair(page, "Cradle above horizontal", "50", "1");
  await typePair(page, "Travel until free of it", "1200", "5");
  await typePair(page, "Total impulse", "24", "0.7");
  await typePair(page, "Mean thrust", "14", "0.5");
  await typePair(page, "Propellant burnt", "25", "1");
  await typePair(page, "Headwind (tailwind below zero)", "2", "0.5");
  await lookAt(page, "verdict");
  const verdict = page.locator("[data-step=verdict]");
  const inputs = verdict.locator("details.more", { hasText: "Inputs of the flight" });
  await inputs.locator("summary").click();
  await typePair(page, "Height of release above the ground", "1.1", "0.1");
  await typePair(page, "Crosswind from the left", "1", "0.5");
  await typePair(page, "Diameter of the body", "62", "1");
  await typePair(page, "Centre of pressure behind the balance point", "105", "12");
  await verdict.getByRole("row", { name: /^Comes down ahead/ }).waitFor();
  await atRest(page);
  const heading = verdict.getByRole("heading", { name: "Flight that nobody steers" });
  await bringUp(heading);
  await takeBetween(page, "flight", heading, inputs);
  await page.setViewportSize(WINDOW);
}

/** @param {Page} page @param {string} label @param {string} value @param {string} u */
async function typePair(page, label, value, u) {
  const pair = page.getByRole("group", { name: label, exact: true }).locator("input");
  await typeInto(pair.first(), value);
  await typeInto(pair.last(), u);
}

/** What one shot says of the launcher's doubtful inputs. @param {Page} page */
async function takeTuning(page) {
  await page.setViewportSize(TALL);
  await lookAt(page, "tuning");
  const section = page.locator("[data-step=tuning]");
  await section.getByRole("button", { name: /^Tune on/ }).click();
  await section.locator("[data-input]").first().waitFor();
  await atRest(page);
  await bringUp(section);
  await takeBetween(page, "tuning", section, page.locator("[data-step=next-shot]"));
  await page.setViewportSize(WINDOW);
}

/** Scrolls a thing of the ledger to below the results. @param {Locator} thing */
async function bringUp(thing) {
  await thing.evaluate((element, top) => {
    element.closest(".ledger")?.scrollBy(0, element.getBoundingClientRect().top - top);
  }, SCALE_TOP);
}

/** @param {Locator} field @param {string} text */
async function typeInto(field, text) {
  await field.fill(text);
  await field.press("Enter");
}

/**
 * The ledger from the top of one thing in it to the top of another.
 * @param {Page} page
 * @param {string} name
 * @param {Locator} from
 * @param {Locator} until
 */
async function takeBetween(page, name, from, until) {
  const [ledger, top, bottom] = await Promise.all([
    boxOf(page.locator(".ledger")),
    boxOf(from),
    boxOf(until),
  ]);
  await take(page, name, {
    x: ledger.x,
    y: top.y + 2,
    width: ledger.width - 12,
    height: bottom.y - top.y - 4,
  });
}

/** The write-up's report, made from the ledger. @param {Page} page */
async function takeReport(page) {
  await lookAt(page, "verdict");
  await page.getByRole("button", { name: "Make the write-up" }).click();
  await page.locator(".files li").first().waitFor();
  await page.setViewportSize({ width: 1000, height: 900 });
  await page.goto(pathToFileURL(join(folder, "write-up", "report.html")).href);
  await page.evaluate(() => document.fonts.ready);
  await take(page, "report");
}

/** An invented load cell log, as the verb "curve" draws it. @param {Page} page */
async function takeCurve(page) {
  const [log, figure] = [join(dirname(folder), "bench.csv"), join(dirname(folder), "bench.svg")];
  writeFileSync(log, loadCellLog());
  const args = [PROGRAM, "curve", log, "--out", join(dirname(folder), "curve.csv"), "--figure", figure];
  const made = spawnSync(process.execPath, args, { env, stdio: ["ignore", 2, 2] });
  if (made.status !== 0) throw new Error("The load cell log was not drawn.");
  await page.setViewportSize({ width: 720, height: 640 });
  await page.goto(pathToFileURL(figure).href);
  await take(page, "curve");
}

/** A motor held by a load cell for a second: ignition, a slow fall, burnout; the cell's error is 0.12 N. */
function loadCellLog() {
  let state = 777777;
  const uniform = () => {
    state = (state * 16807) % 2147483647; // Park and Miller
    return state / 2147483647;
  };
  const rows = Array.from({ length: 480 }, (_, i) => {
    const t = i / 480;
    const rise = 9.5 * (1 - Math.exp(-(t - 0.12) / 0.015));
    const thrust = t < 0.12 ? 0 : t < 0.75 ? rise - 2 * (t - 0.12) : Math.max(0, 8.24 - 165 * (t - 0.75));
    const error = 0.12 * Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
    return `${(1000 * t).toFixed(2)},${(thrust + error).toFixed(3)}`;
  });
  return ["time (ms),force (N)", ...rows, ""].join("\n");
}

/** The first shot as the folder holds it now. */
function savedShot() {
  return JSON.parse(readFileSync(join(folder, "loftmark.json"), "utf8")).shots[0];
}

/**
 * Where a point is marked in a frame of the first shot.
 * @param {string} pointId
 * @param {number} frame
 * @returns {readonly [number, number]} px of the clip
 */
function markOf(pointId, frame) {
  /** @type {readonly { pointId: string, frame: number, x: number, y: number }[]} */
  const marks = savedShot().marks;
  const mark = marks.find((one) => one.pointId === pointId && one.frame === frame);
  if (mark === undefined) throw new Error(`The example has no mark of the ${pointId} in frame ${frame}.`);
  return [mark.x, mark.y];
}

/**
 * Where a place of the clip's picture lies on the page, css px.
 * @param {Page} page
 * @param {readonly [number, number]} place px of the clip
 * @returns {Promise<{ x: number, y: number }>}
 */
function onPage(page, [x, y]) {
  return page.locator(".frame .picture").evaluate(
    (canvas, [px, py]) => {
      const box = canvas.getBoundingClientRect();
      const scale = box.width / /** @type {HTMLCanvasElement} */ (canvas).width;
      return { x: box.left + px * scale, y: box.top + py * scale };
    },
    /** @type {const} */ ([x, y]),
  );
}

/** @param {Locator} locator @returns {Promise<Box>} */
async function boxOf(locator) {
  const box = await locator.boundingBox();
  if (box === null) throw new Error(`There is nothing to take a picture of: ${locator}.`);
  return box;
}

/** @param {Box} box @param {number} margin @returns {Box} */
function around({ x, y, width, height }, margin) {
  return { x: x - margin, y: y - margin, width: width + 2 * margin, height: height + 2 * margin };
}

/** @param {Page} page @param {string} name @param {Box} [clip] */
async function take(page, name, clip) {
  await takePicture(page, join(PICTURES, `${name}.png`), MOST_BYTES, clip);
}
