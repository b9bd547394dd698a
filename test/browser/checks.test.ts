import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import type { Mark, Session, Shot } from "../../src/shared/session/schema.ts";
import {
  type Field,
  headline,
  oneSitting,
  openField,
  openHeading,
  type Person,
  sitDown,
  typeMeasured,
  untilMeasured,
} from "./person.ts";

let person: Person;

const TRUE_HZ = 955; // what lamp and drop below are made with; the example's shot says 959.9
const LAMP_S = 0.02;

/** The shot with a rate stated so loosely that a check weighs more. */
function looselyStated(session: Session, patch: Partial<Shot>): Session {
  return {
    ...session,
    shots: session.shots.map((shot) => ({
      ...shot,
      clock: { kind: "capture-rate" as const, captureRateHz: { value: 959.87, u: 5 } },
      ...patch,
    })),
  };
}

/** Frames that first show each change of a lamp, as the camera took them. */
function withLamp(session: Session): Session {
  const frames = Array.from({ length: 9 }, (_, i) => Math.ceil(2.4 + i * LAMP_S * TRUE_HZ));
  return looselyStated(session, { lamp: { intervalS: { value: LAMP_S, u: 1e-6 }, frames } });
}

/** A ball that falls freely along the plumb from frame 0 on, each mark where it is. */
function withDrop(session: Session): Session {
  const [shot] = session.shots as [Shot];
  const { scale, plumb } = shot;
  const metresPerPx = scale!.rodM.value / Math.hypot(scale!.b[0] - scale!.a[0], scale!.b[1] - scale!.a[1]);
  const [dx, dy] = [plumb!.bottom[0] - plumb!.top[0], plumb!.bottom[1] - plumb!.top[1]];
  const length = Math.hypot(dx, dy);
  const marks = Array.from({ length: 48 }, (_, i): Mark => {
    const frame = 3 * i;
    const fallen = ((9.80665 / 2) * (frame / TRUE_HZ) ** 2) / metresPerPx;
    const [x, y] = [1500 + (dx / length) * fallen, 200 + (dy / length) * fallen];
    return { pointId: "ball", frame, x, y, u: 0.4, by: "hand" };
  });
  return {
    ...looselyStated(session, {
      marks: [...shot.marks, ...marks].sort((a, b) => a.frame - b.frame || (a.pointId < b.pointId ? -1 : 1)),
    }),
    points: [...session.points, { id: "ball", name: "ball", on: "dropped", airframeId: null, body: null }],
  };
}

/** The launch as a camera shows it that took every 8th frame before 96 and after 144. */
function filmedInParts(session: Session): Session {
  const moved = (mark: Mark): Mark[] => {
    if (mark.frame >= 96 && mark.frame <= 144) return [{ ...mark, frame: mark.frame - 84 }];
    if (mark.frame % 8 !== 0) return [];
    return [{ ...mark, frame: mark.frame < 96 ? mark.frame / 8 : 60 + (mark.frame - 144) / 8 }];
  };
  return {
    ...session,
    shots: session.shots.map((shot) => ({ ...shot, marks: shot.marks.flatMap(moved) })),
  };
}

async function measuredSpeed(): Promise<number> {
  await expect.poll(() => headline(person.page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(person.page);
  return (await headline(person.page, "releaseSpeed"))!;
}

describe("at one window on a shot with a lamp", () => {
  const sitting = oneSitting({ session: withLamp });
  beforeEach(() => {
    person = sitting.person;
  });

  it("says what a lamp in the clip implies, and using it moves the release speed with the rate", async () => {
    const { page } = person;
    const before = await measuredSpeed();
    await openHeading(page, "clock");
    const sentence = (await page.locator(".checks .plain-says").textContent())!;
    expect(sentence).toMatch(
      /^The lamp in this clip implies [\d.]+\s±\s[\d.]+ frames\/s, −\d\.\d u from the stated rate\.$/,
    );
    // a frame in 150 is 6 Hz
    expect(Math.abs(Number(/implies ([\d.]+)/.exec(sentence)![1]) - TRUE_HZ)).toBeLessThan(4);
    await page.getByLabel("Use the check together with the stated rate").check();
    await expect.poll(() => headline(page, "releaseSpeed")).not.toBe(before);
    const after = await measuredSpeed();
    const used = Number(
      /, ([\d.]+)\s±\s[\d.]+ with its checks/.exec(
        (await page.locator("[data-step=clock] .section-says").textContent())!,
      )![1],
    );
    expect(after / before).toBeCloseTo(used / 959.87, 3);
    await page.getByLabel("Use the check together with the stated rate").uncheck();
    await expect.poll(() => headline(page, "releaseSpeed")).toBe(before);
    expect(person.complaints).toEqual([]);
  });

  it("turns a change of the lamp on and off in the frame that is shown", async () => {
    const { page } = person;
    await measuredSpeed();
    await openHeading(page, "clock");
    await page.getByText("Lamp", { exact: true }).click();
    const list = page.getByLabel("Frames in which the lamp changes");
    const count = await list.locator("li").count();
    await page.getByRole("button", { name: /^The lamp changes in this frame/ }).click();
    await expect.poll(() => list.locator("li").count()).toBe(count + 1);
    await page.getByRole("button", { name: /^The lamp does not change in frame/ }).click();
    await expect.poll(() => list.locator("li").count()).toBe(count);
  });

  it("looks for repeated frames and says what it found", async () => {
    const { page } = person;
    await measuredSpeed();
    await openHeading(page, "clock");
    await page.getByText("Repeated and missing frames").click();
    await page.getByText("The file's timestamps show no missing frame.").waitFor();
    await page.getByRole("button", { name: "Look for repeated frames" }).click();
    const said = page.locator("[data-step=clock] [role=status]");
    await said.waitFor();
    expect(await said.textContent()).toMatch(
      /^None of the \d+ frames that could be judged repeats the picture before it\.$/,
    );
    expect(person.complaints).toEqual([]);
  });
});

describe("at a window of its own", () => {
  let field: Field;
  beforeAll(async () => {
    field = await openField();
  });
  afterEach(() => person.leave());
  afterAll(() => field?.close());

  it("says what a dropped object implies, and keeps its marks out of the motion", async () => {
    person = await sitDown(field, { session: withDrop });
    const { page } = person;
    await measuredSpeed();
    await openHeading(page, "clock");
    const sentence = (await page.locator(".checks .plain-says").textContent())!;
    expect(sentence).toMatch(/^A drop in this clip implies/);
    const [, rate, u] = /implies ([\d.]+)\s±\s([\d.]+)/.exec(sentence)!;
    expect(Math.abs(Number(rate) - TRUE_HZ)).toBeLessThan(3 * Number(u));
    await openHeading(page, "marks");
    await page.locator(".chip", { hasText: "ball" }).click();
    await page.getByText("A dropped object checks the capture rate").waitFor();
    expect(person.complaints).toEqual([]);
  });

  it("refuses a clip that holds two rates, until the parts that its motion shows are taken", async () => {
    person = await sitDown(field, { session: filmedInParts });
    const { page } = person;
    await openHeading(page, "clip");
    await page
      .getByText(/the file holds more than one capture rate/)
      .first()
      .waitFor();
    expect(await headline(page, "releaseSpeed")).toBeNull();
    await page.getByRole("button", { name: "Take these 3 parts" }).click();
    expect(Math.abs((await measuredSpeed()) / 13.9 - 1)).toBeLessThan(0.08);
    await openHeading(page, "clock");
    await page.getByText("Parts at other rates").click();
    await typeMeasured(page, "Rate of part 3", "120", "0.2");
    await page.getByRole("button", { name: "Remove part 3" }).click(); // the rest of the clip at part 2's rate
    await openHeading(page, "clip");
    await page
      .getByText(/the file holds more than one capture rate/)
      .first()
      .waitFor();
    await page.getByRole("button", { name: "The stated rate is right all the same" }).click();
    await measuredSpeed();
    expect(person.complaints).toEqual([]);
  });

  it("enters the lamp's changes by key while stepping, and undoes them", async () => {
    person = await sitDown(field, {
      session: (session) =>
        looselyStated(session, { lamp: { intervalS: { value: 0.02, u: 1e-6 }, frames: [] } }),
    });
    const { page } = person;
    await measuredSpeed();
    await page.keyboard.press("l"); // another heading is open: nothing
    await openHeading(page, "clock");
    await page.getByText("Lamp", { exact: true }).click();
    await page.locator(".frame").focus();
    await page.keyboard.press("Home");
    for (let change = 0; change < 3; change++) {
      for (let step = 0; step < 2; step++) await page.keyboard.press("Shift+ArrowRight");
      await page.keyboard.press("l");
    }
    const list = page.getByLabel("Frames in which the lamp changes").locator("li");
    await expect.poll(() => list.allInnerTexts()).toEqual([20, 40, 60].map((frame) => `${frame}\n×`));
    expect(await page.locator(".says").first().textContent()).toBe(
      "The lamp changes in frame 60. L takes that back.",
    );
    await page.keyboard.press("l");
    await expect.poll(() => list.count()).toBe(2);
    await page.keyboard.press("Control+z");
    await expect.poll(() => list.count()).toBe(3);
    expect(person.complaints).toEqual([]);
  });
});
