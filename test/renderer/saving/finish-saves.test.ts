import { expect, it } from "vitest";
import type { SaveState } from "../../../src/renderer/saving/autosave.ts";
import { finishSaves } from "../../../src/renderer/saving/finish-saves.ts";

const FAULT = { code: "disk-full", cause: "The disk is full.", remedy: "Make room." } as const;

/** A document that stands so after each save. */
function bench(states: readonly SaveState[]) {
  const done: string[] = [];
  let saves = 0;
  const finish = () =>
    finishSaves({
      enterTyped: () => done.push("typed"),
      saveNow: async () => {
        done.push("save");
        saves++;
      },
      save: () => states[Math.min(saves, states.length) - 1]!,
    });
  return { finish, done };
}

it("enters what is typed, saves, and saves again what was changed meanwhile", async () => {
  const { finish, done } = bench([{ status: "waiting" }, { status: "saved" }]);
  expect(await finish()).toBeNull();
  expect(done).toEqual(["typed", "save", "save"]);
});

it("says why when the folder could not take it", async () => {
  expect(await bench([{ status: "failed", fault: FAULT }]).finish()).toEqual(FAULT);
  expect(await bench([{ status: "conflict", fault: FAULT }]).finish()).toEqual(FAULT);
});

it("does not wait for ever for a document that never rests", async () => {
  expect((await bench([{ status: "waiting" }]).finish())?.code).toBe("still-changing");
});
