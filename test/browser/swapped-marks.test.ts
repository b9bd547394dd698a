import { expect, it } from "vitest";
import { applyEdit } from "../../src/shared/session/edits.ts";
import type { Session } from "../../src/shared/session/schema.ts";
import { headline, oneSitting, openHeading, untilMeasured, untilSaved } from "./person.ts";

const FRAMES = [88, 89, 90];

/** Nose and tail marked for each other in three frames. */
function swapped(session: Session): Session {
  const swaps = FRAMES.map((frame) => ({ frame, pointIds: ["nose", "tail"] as const }));
  return applyEdit(session, { kind: "swap-marks", shotId: session.shots[0]!.id, swaps });
}

const sitting = oneSitting({ session: swapped });

it("says where nose and tail are swapped, swaps them back in one step, and undoes it as one", async () => {
  const { person } = sitting;
  const { page } = person;
  await expect.poll(() => headline(page, "releaseSpeed")).not.toBeNull();
  await untilMeasured(page);
  await openHeading(page, "marks");
  const notice = page.locator("[data-step=marks] .notice", { hasText: "marked for each other" });
  await expect.poll(() => notice.textContent()).toContain("nose and tail in frames 88 to 90");
  // said once: not each of the six as a misfit of its own too
  expect(await page.locator("[data-step=marks] .notice", { hasText: "look again" }).count()).toBe(0);
  const spoilt = (await person.saved()).shots[0]!.marks;
  await page.getByRole("button", { name: "Swap them back in 3 frames" }).click();
  await untilSaved(page);
  await expect.poll(() => notice.count()).toBe(0);
  const back = (await person.saved()).shots[0]!.marks;
  for (const frame of FRAMES) {
    const at = (marks: typeof back, id: string) =>
      marks.find((mark) => mark.frame === frame && mark.pointId === id)!;
    expect(at(back, "nose")).toEqual({ ...at(spoilt, "tail"), pointId: "nose" });
    expect(at(back, "tail")).toEqual({ ...at(spoilt, "nose"), pointId: "tail" });
  }
  await page.getByRole("button", { name: "Undo" }).click();
  await untilSaved(page);
  expect((await person.saved()).shots[0]!.marks).toEqual(spoilt);
  await expect.poll(() => notice.count()).toBe(1);
  await expect.poll(() => page.getByRole("button", { name: "Swap them back" }).isEnabled()).toBe(true);
});
