import type { Page } from "playwright-core";
import { expect, it } from "vitest";
import type { Session } from "../../src/shared/session/schema.ts";
import { oneSitting, untilSaved } from "./person.ts";

const SHOTS = 6;
const EDITED = 3; // the row that is changed, from 0; Enter goes on to the next one

/** The example's shot, which the window shows, and others of its clip without marks. */
function sixShots(session: Session): Session {
  const [first] = session.shots;
  const shots = Array.from({ length: SHOTS }, (_, i) => ({
    ...first!,
    id: i === 0 ? first!.id : `shot-${i + 1}`,
    name: `Shot ${i + 1}`,
    marks: i === 0 ? first!.marks : [],
  }));
  return { ...session, shots };
}

const sitting = oneSitting({ session: sixShots });

/** What of the window might be drawn again, and by what one of it is told from the next. */
const PARTS = {
  rows: ".day-table tbody tr",
  cards: ".shots li > button",
  headings: ".ledger .section h2 button",
  figures: ".ledger .figure-plot > div:first-child",
} as const;
type Part = keyof typeof PARTS;

/**
 * Notes what is drawn now. React gives an element that is drawn again other properties, also where the page
 * looks the same after it.
 */
async function noteDrawn(page: Page): Promise<void> {
  await page.evaluate((parts) => {
    const propertiesOf = (element: Element) => {
      const key = Object.keys(element).find((name) => name.startsWith("__reactProps$"));
      if (key === undefined) throw new Error("React notes no properties on its elements any more.");
      return (element as unknown as Record<string, object>)[key]!;
    };
    const now = () =>
      Object.entries(parts).map(
        ([name, at]) => [name, [...document.querySelectorAll(at)].map(propertiesOf)] as const,
      );
    const before = new Map(now());
    window.drawnAgain = () =>
      Object.fromEntries(
        now().map(([name, after]) => [
          name,
          after.flatMap((one, i) => (one === before.get(name)?.[i] ? [] : [i])),
        ]),
      );
  }, PARTS);
}

/** By part, the places of those that were drawn again since the note. */
function drawnAgain(page: Page): Promise<Readonly<Record<Part, readonly number[]>>> {
  return page.evaluate(() => window.drawnAgain()) as Promise<Record<Part, number[]>>;
}

async function edit(page: Page, column: string, typed: string): Promise<void> {
  const cell = page.locator(`td[data-column=${column}]`).nth(EDITED);
  await cell.focus();
  await page.keyboard.type(typed);
  await noteDrawn(page);
  await page.keyboard.press("Enter");
  await cell.filter({ hasText: typed }).waitFor();
}

/** The day, once nothing comes any more, picture, result or save, that draws a row or a card by itself. */
async function atRest(page: Page): Promise<void> {
  const button = page.getByRole("button", { name: "The day" });
  if ((await button.getAttribute("aria-pressed")) !== "true") await button.click();
  await page.locator(".day-says").getByText(`${SHOTS} shots, 1 measured.`, { exact: true }).waitFor();
  await page.locator("[data-measuring=settled]").waitFor();
  await page
    .locator(".shots li img")
    .nth(SHOTS - 1)
    .waitFor();
  await untilSaved(page);
}

it("draws again for an edit what shows it: the row left and the one gone to, one card, no heading", async () => {
  const { page, complaints } = sitting.person;
  await page.locator("[data-step=motion] figure.figure svg").first().waitFor();
  await atRest(page);

  await edit(page, "name", "Renamed");
  await page.locator(PARTS.cards).nth(EDITED).filter({ hasText: "Renamed" }).waitFor();
  await untilSaved(page);
  expect(await drawnAgain(page)).toEqual({
    rows: [EDITED, EDITED + 1],
    cards: [EDITED],
    headings: [],
    figures: [],
  });

  await edit(page, "pressure", "5.5");
  await untilSaved(page);
  expect(await drawnAgain(page)).toEqual({
    rows: [EDITED, EDITED + 1],
    cards: [EDITED],
    headings: [],
    figures: [],
  });
  expect(complaints).toEqual([]);
});

it("draws the frame's marks again once the frame is seen, not while the day covers it", async () => {
  const { page, complaints } = sitting.person;
  const marks = page.getByTestId("marks-here");
  await atRest(page);
  await page.evaluate(() => {
    const { prototype } = CanvasRenderingContext2D;
    const { clearRect } = prototype;
    window.overlayDrawn = 0;
    prototype.clearRect = function (...at) {
      if (this.canvas.closest(".overlay") !== null) window.overlayDrawn++;
      clearRect.apply(this, at);
    };
  });
  const drawn = () => page.evaluate(() => window.overlayDrawn);
  await edit(page, "name", "Again");
  await untilSaved(page);
  expect(await drawn()).toBe(0);

  // The edited shot has no marks, the first one has: each is there once the frame is.
  await page.locator(PARTS.cards).nth(EDITED).click();
  await marks.filter({ hasText: "No marks in this frame." }).waitFor();
  await page.waitForFunction(() => window.overlayDrawn > 0);
  await page.locator(PARTS.cards).first().click();
  await marks.filter({ hasText: /^nose/ }).waitFor();
  expect(complaints).toEqual([]);
});

declare global {
  interface Window {
    drawnAgain: () => Record<string, number[]>;
    overlayDrawn: number;
  }
}
