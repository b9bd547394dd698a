import { beforeEach, expect, it } from "vitest";
import {
  clickPicture,
  frameNow,
  headline,
  oneSitting,
  openHeading,
  type Person,
  seePicture,
  typeMeasured,
  untilMeasured,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting();
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

const says = (step: string) => person.page.locator(`[data-step=${step}] .section-says`).textContent();
const unfold = (title: string) => person.page.locator("summary", { hasText: title }).click();
/** "1.4189 ± 0.0013 mm a pixel": its u, as shown. */
async function scaleU(): Promise<number> {
  return Number(/±\s([\d.]+)\smm a pixel/.exec((await says("scale")) ?? "")?.[1]);
}

/** Opens the budget of the chosen result unless it is open. */
async function unfoldBudget(): Promise<void> {
  const { page } = person;
  if (!(await page.locator(".budget tbody").isVisible())) await page.locator(".budget summary").click();
}

async function atScale(): Promise<number> {
  const { page } = person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(page);
  await seePicture(page);
  await openHeading(page, "scale");
  return (await headline(page, "releaseSpeed"))!;
}

it("opens the full budget of the chosen result, and it adds up", async () => {
  const { page } = person;
  for (const name of ["launchAngle", "releaseSpeed"]) {
    await page.locator(`[data-headline=${name}]`).click();
    await unfoldBudget();
    const rows = await page.locator(".budget tbody tr").allInnerTexts();
    const lines = rows.map((row) => row.split("\t").map((cell) => cell.trim()));
    expect(lines.map(([source]) => source)).toContain(name === "launchAngle" ? "plumb" : "scale");
    const shares = lines.map(([, , share]) => Number.parseFloat(share!));
    expect(Math.abs(shares.reduce((sum, share) => sum + share, 0) - 100)).toBeLessThanOrEqual(
      0.5 * lines.length,
    );
    // Every u is rounded to its last digit: the sum of squares lies between those of the bounds.
    const half = (text: string) => 0.5 * 10 ** -(text.split(".")[1]?.length ?? 0);
    const bound = (way: 1 | -1) =>
      Math.hypot(...lines.map(([, u]) => Math.max(0, Number(u) + way * half(u!))));
    const total = (await page.locator(".budget tfoot td").first().textContent())!;
    expect(Number(total) + half(total)).toBeGreaterThanOrEqual(bound(-1));
    expect(Number(total) - half(total)).toBeLessThanOrEqual(bound(1));
  }
  expect(person.complaints).toEqual([]);
});

it("narrows the scale by a second rod picked with two clicks and a length, and undoes it", async () => {
  await atScale();
  const { page } = person;
  const before = await scaleU();
  const { scale } = (await person.saved()).shots[0]!;
  await unfold("Further rods");
  await page.getByRole("button", { name: "Add a rod by its two ends" }).click();
  await clickPicture(page, scale!.a);
  await clickPicture(page, scale!.b);
  await page.getByText("As the first rod says, until you type").waitFor();
  await untilMeasured(page);
  expect(Math.abs((await scaleU()) / before - 1)).toBeLessThan(0.1); // a guess adds nothing
  await typeMeasured(page, "Length of rod 2", "1000.2", "0.5");
  await expect.poll(scaleU).toBeLessThan(0.85 * before); // two alike: 1/√2
  await untilSaved(page);
  const frame = await frameNow(page);
  expect(frame).toBeGreaterThan(0);
  expect((await person.saved()).shots[0]!.rods).toMatchObject([{ aFrame: frame, bFrame: frame }]);
  await page.getByRole("button", { name: "Remove rod 2" }).click();
  await expect.poll(scaleU).toBe(before);
  expect(person.complaints).toEqual([]);
});

it("maps the plane by four clicked points once their places are typed, and goes back to the rod", async () => {
  const before = await atScale();
  const { page } = person;
  const { scale } = (await person.saved()).shots[0]!;
  const metres = scale!.rodM.value / Math.hypot(scale!.b[0] - scale!.a[0], scale!.b[1] - scale!.a[1]);
  await unfold("Known points of the plane");
  await page.getByRole("button", { name: "Click known points" }).click();
  const corners = [
    [300, 900],
    [1700, 900],
    [1700, 250],
    [300, 250],
  ] as const;
  for (const corner of corners) await clickPicture(page, corner);
  for (const [i, [x, y]] of corners.entries()) {
    await page.getByLabel(`Point ${i + 1}, metres to the right`).fill(((x - 300) * metres).toFixed(4));
    await page.getByLabel(`Point ${i + 1}, metres up`).fill(((900 - y) * metres).toFixed(4));
    await page.getByLabel(`Point ${i + 1}, metres up`).press("Enter");
  }
  await expect.poll(() => says("scale")).toMatch(/^A plane of 4 known points: 1\.4/);
  await untilMeasured(page);
  const speed = (await headline(page, "releaseSpeed"))!;
  expect(Math.abs(speed / before - 1)).toBeLessThan(0.01); // clicks to half a css px of 2.2 px over 650 px
  await unfoldBudget();
  expect(await page.locator(".budget tbody").textContent()).toContain("plane");
  await page.getByRole("button", { name: "Remove all, use the rod" }).click();
  await expect.poll(() => headline(page, "releaseSpeed")).toBe(before);
  expect(person.complaints).toEqual([]);
});

it("finds a lens from clicked straight lines, keeps it with the camera, and takes it off again", async () => {
  await atScale();
  const { page } = person;
  await unfold("Lens");
  await page.getByRole("button", { name: "Find the lens from straight lines" }).click();
  // Where a lens with this radial term shows three straight lines of a 1920 × 1080 picture.
  const k1 = -0.12;
  const bent = (x: number, y: number): [number, number] => {
    const [u, v] = [(x - 960) / 1920, (y - 540) / 1920];
    const stretch = 1 + k1 * (u * u + v * v);
    return [960 + 1920 * u * stretch, 540 + 1920 * v * stretch];
  };
  const along = [100, 400, 700, 1000, 1300, 1600, 1850];
  const lines = [
    along.map((x) => bent(x, 60)),
    along.map((x) => bent(x, 1020)),
    [80, 300, 540, 780, 1000].map((y) => bent(80, y)),
  ];
  for (const [i, line] of lines.entries()) {
    if (i > 0) await page.getByRole("button", { name: "Next line" }).click();
    for (const place of line) await clickPicture(page, place);
  }
  await page.getByRole("button", { name: "Find the lens", exact: true }).click();
  const said = (await page.locator("[data-step=scale] [role=status]").textContent())!;
  const [, seen, left] = /lie ([\d.]+) px from straight lines as seen, ([\d.]+) px/.exec(said)!;
  expect(Number(left)).toBeLessThan(0.75); // clicks to half a css px of 2.2 px: 0.65 px rms across a line
  expect(Number(seen)).toBeGreaterThan(3 * Number(left));
  await page.getByRole("button", { name: /^Keep it with/ }).click();
  await untilSaved(page);
  const lens = (await person.saved()).cameras[0]!.lens!;
  expect(Math.abs(lens.k1 - k1)).toBeLessThan(0.02);
  await page.getByRole("button", { name: "Remove the lens" }).click();
  await untilSaved(page);
  expect((await person.saved()).cameras[0]!.lens).toBeUndefined();
  expect(person.complaints).toEqual([]);
});

it("plans a camera: four predicted uncertainties at once, then the changes ranked, and again for another exposure", async () => {
  const { page } = person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await page.getByRole("button", { name: "Plan the camera" }).click();
  const dialog = page.getByRole("dialog", { name: "Plan the camera" });
  await dialog.locator("[data-planned]").first().waitFor();
  const shown = await dialog.locator("[data-planned]").allInnerTexts();
  expect(shown).toHaveLength(4);
  for (const text of shown) expect(text).toMatch(/± \d/);
  // Planned for the very shot that was measured: the release speed's u comes out alike, but for the plane
  // that only the plan counts.
  const u = Number(/± ([\d.]+)/.exec(shown[0]!)![1]);
  expect(u).toBeGreaterThan(0.01);
  expect(u).toBeLessThan(0.08);
  await dialog.locator(".changes tbody tr").first().waitFor();
  expect(await dialog.locator(".changes tbody tr").count()).toBeGreaterThan(5);
  await dialog.getByLabel("Exposure of a frame: 1 /").fill("1000");
  await dialog.getByLabel("Exposure of a frame: 1 /").press("Enter");
  await dialog.locator(".notice.warning", { hasText: "smears" }).waitFor();
  await page.keyboard.press("Escape");
  await dialog.waitFor({ state: "hidden" });
  expect(person.complaints).toEqual([]);
});
