import { beforeEach, expect, it } from "vitest";
import {
  clickPicture,
  goToFrame,
  headline,
  oneSitting,
  openHeading,
  type Person,
  seePicture,
  untilMeasured,
  untilSaved,
} from "./person.ts";

const sitting = oneSitting();
let person: Person;
beforeEach(async () => {
  person = sitting.person;
  await untilSaved(person.page);
});

const unfold = (title: string) => person.page.locator("summary", { hasText: title }).click();

async function at(step: string): Promise<void> {
  const { page } = person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(page);
  await seePicture(page);
  await openHeading(page, step);
}

it("draws all inputs on demand and says that the stated uncertainty stands, until something changes", async () => {
  await at("motion");
  const { page } = person;
  const stated = await page.locator("[data-headline=releaseSpeed]").textContent();
  await page.locator(".budget summary").click();
  await page.getByRole("button", { name: "Draw all inputs" }).click();
  await page.locator(".drawn [role=status]").waitFor();
  expect(await page.locator(".drawn [role=status]").textContent()).toMatch(
    /^All inputs were drawn together, 1000 times\. Every result agrees/,
  );
  expect(await page.locator(".drawn tbody tr[data-agree=true]").count()).toBe(4);
  expect(await page.locator("[data-headline=releaseSpeed]").textContent()).toBe(stated);
  await openHeading(page, "clock");
  const rate = page.getByRole("group", { name: "Capture rate", exact: true }).locator("input").last();
  await rate.fill("0.6");
  await rate.press("Enter");
  await page.getByRole("button", { name: "Draw all inputs" }).waitFor();
  expect(person.complaints).toEqual([]);
});

it("finds the readout from an edge clicked as it sweeps both ways, and keeps it with the camera", async () => {
  await at("clock");
  const { page } = person;
  await unfold("Readout from a sweep");
  await page.getByRole("button", { name: "Click along the edge" }).click();
  const [rate, readoutS, lean] = [959.87, 0.0055, 0.01];
  const said = page.locator("[data-step=clock] [role=status]");
  const sweep = async (tens: readonly number[], speed: number, from: number) => {
    for (const one of tens) {
      await goToFrame(page, 10 * one);
      for (const y of [60, 390, 720, 1020]) {
        const t = (10 * (one - tens[0]!)) / rate + (readoutS * y) / 1080;
        await clickPicture(page, [from + lean * y + speed * t, y]);
      }
    }
  };
  await sweep([1, 3], 12_000, 500);
  expect(await said.textContent()).toMatch(/too slowly to tell|Add a sweep|The rows take/);
  await page.getByRole("button", { name: "Next sweep" }).click();
  await sweep([8, 11], -9_000, 1500);
  await expect.poll(() => said.textContent()).toMatch(/^The rows take/);
  const [, value, u] = /take ([\d.]+)\s±\s([\d.]+)\sms to read, from top to bottom/.exec(
    (await said.textContent())!,
  )!;
  // clicks to half a css px of 2.2 px
  expect(Math.abs(Number(value) - 1000 * readoutS)).toBeLessThan(4 * Number(u) + 0.05);
  await page.getByRole("button", { name: /^Keep it with/ }).click();
  await untilSaved(page);
  const kept = (await person.saved()).cameras[0]!.readoutS!;
  expect(1000 * kept.value).toBeCloseTo(Number(value), 1);
  expect(kept.u).toBeGreaterThan(0);
  expect(await page.getByLabel("Sweeps").count()).toBe(0);
  expect(person.complaints).toEqual([]);
});

it("finds the lens from a board clicked in four frames, and keeps it with the camera", async () => {
  await at("scale");
  const { page } = person;
  await unfold("Lens");
  await unfold("From a board instead");
  await page.getByLabel("Crossings across").fill("4");
  await page.getByLabel("Crossings across").press("Enter");
  await page.getByLabel("Crossings down").fill("3");
  await page.getByLabel("Crossings down").press("Enter");
  await page.getByRole("button", { name: "Pick the board's crossings" }).click();
  const board = [
    [0, 0],
    [3, 0],
    [3, 2],
    [0, 2],
    [1, 1],
    [2, 1],
    [1, 0],
    [2, 2],
  ] as const;
  for (const [i, pose] of POSES.entries()) {
    await goToFrame(page, 10 * (2 * i + 1));
    for (const crossing of board) await clickPicture(page, seen(pose, crossing));
  }
  await expect
    .poll(() => page.getByLabel("Frames with the board").locator("li").allInnerTexts())
    .toEqual([10, 30, 50, 70].map((frame) => `frame ${frame}: 8\n×`));
  await page.getByRole("button", { name: "Find the lens from the board" }).click();
  const said = (await page.locator("[data-step=scale] [role=status]").textContent())!;
  const [, focal, u] = /focal length of (\d+)\s±\s(\d+)\spx/.exec(said)!;
  expect(Math.abs(Number(focal) - LENS.focalPx)).toBeLessThan(4 * Number(u));
  expect(Number(u)).toBeLessThan(0.05 * LENS.focalPx);
  await page.getByRole("button", { name: /^Keep it with/ }).click();
  await untilSaved(page);
  const lens = (await person.saved()).cameras[0]!.lens!;
  expect(lens.madeFrom).toMatchObject({ by: "board", points: 32 });
  expect(Math.abs(lens.k1 - LENS.k1)).toBeLessThan(0.05);
  expect(person.complaints).toEqual([]);
});

/** Rotation vector, rad, and place of the board's first crossing, in fields, before the camera. */
const POSES = [
  [0.5, 0.1, 0.05, -1.6, -1.1, 5.2],
  [-0.5, 0.05, -0.1, -1.5, -0.9, 4.9],
  [0.05, 0.5, 0.05, -1.5, -1.1, 5.4],
  [-0.1, -0.5, 0, -1.5, -1, 5],
] as const;
const LENS = { focalPx: 1700, k1: -0.15 };

/** Where a crossing is seen: turned by Rodrigues' formula, projected, and bent by the radial term. */
function seen(
  [rx, ry, rz, tx, ty, tz]: (typeof POSES)[number],
  [column, row]: readonly [number, number],
): [number, number] {
  const angle = Math.hypot(rx, ry, rz);
  const axis = [rx / angle, ry / angle, rz / angle] as const;
  const v = [column, row, 0] as const;
  const dot = axis[0] * v[0] + axis[1] * v[1];
  const cross = [-axis[2] * v[1], axis[2] * v[0], axis[0] * v[1] - axis[1] * v[0]] as const;
  const [x, y, z] = [0, 1, 2].map(
    (i) =>
      v[i]! * Math.cos(angle) +
      cross[i]! * Math.sin(angle) +
      axis[i]! * dot * (1 - Math.cos(angle)) +
      [tx, ty, tz][i]!,
  ) as [number, number, number];
  const [a, b] = [x / z, y / z];
  const stretch = 1 + LENS.k1 * (a * a + b * b);
  return [960 + LENS.focalPx * a * stretch, 540 + LENS.focalPx * b * stretch];
}
