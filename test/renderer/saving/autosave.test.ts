import { expect, it } from "vitest";
import { createAutosave, faultOf, type SaveState } from "../../../src/renderer/saving/autosave.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";

/**
 * An autosave with a clock turned by hand and a folder that answers as told; "a+" is
 * joined to the step before it.
 */
function bench() {
  const timers: { run: () => void; ms: number }[] = [];
  const saves: {
    steps: readonly string[];
    base: string;
    answer: (revision: string) => void;
    fail: (error: unknown) => void;
  }[] = [];
  const states: SaveState["status"][] = [];
  const autosave = createAutosave<string>("r0", {
    save: (steps, base) =>
      new Promise((answer, fail) => {
        saves.push({ steps, base, answer, fail });
      }),
    join: (first, second) => (second.endsWith("+") ? `${first}${second}` : null),
    onState: ({ status }) => states.push(status),
    delayMs: 600,
    retryMs: 5000,
    later(run, ms) {
      const timer = { run, ms };
      timers.push(timer);
      return () => {
        const at = timers.indexOf(timer);
        if (at >= 0) timers.splice(at, 1);
      };
    },
  });
  const ring = () => timers.shift()!.run();
  const settle = () => new Promise((resolve) => setImmediate(resolve));
  return { autosave, timers, saves, states, ring, settle };
}

it("saves all steps at once, a little after the last, on the revision it was loaded at", async () => {
  const { autosave, timers, saves, states, ring, settle } = bench();
  autosave.made("a");
  autosave.made("b");
  expect(timers.map(({ ms }) => ms)).toEqual([600]);
  ring();
  await settle();
  expect(saves.map(({ steps, base }) => [steps, base])).toEqual([[["a", "b"], "r0"]]);
  saves[0]!.answer("r1");
  await settle();
  expect(states.at(-1)).toBe("saved");
  expect([autosave.revision(), autosave.unsaved()]).toEqual(["r1", []]);
});

it("saves a step made while a save runs afterwards, on the new revision", async () => {
  const { autosave, saves, ring, settle } = bench();
  autosave.made("a");
  ring();
  await settle();
  autosave.made("b");
  ring();
  await settle();
  expect(saves.length).toBe(1);
  saves[0]!.answer("r1");
  await settle();
  await settle();
  expect(saves[1]).toMatchObject({ steps: ["b"], base: "r1" });
});

it("sends what waits once, though several ask for it while a save runs, and then what was made since", async () => {
  const { autosave, saves, states, ring, settle } = bench();
  autosave.made("a");
  ring();
  await settle();
  autosave.made("b");
  const asked = [autosave.flush(), autosave.flush()];
  saves[0]!.answer("r1");
  await settle();
  expect(saves.map(({ steps }) => steps)).toEqual([["a"], ["b"]]);
  autosave.made("c");
  saves[1]!.answer("r2");
  await settle();
  expect(states.at(-1)).not.toBe("saved");
  expect(saves.map(({ steps, base }) => [steps, base])).toEqual([
    [["a"], "r0"],
    [["b"], "r1"],
    [["c"], "r2"],
  ]);
  saves[2]!.answer("r3");
  await Promise.all(asked);
  expect([autosave.revision(), autosave.unsaved(), states.at(-1)]).toEqual(["r3", [], "saved"]);
});

it("joins steps that belong together while neither was sent, and never one to a step that was", async () => {
  const { autosave, saves, ring, settle } = bench();
  autosave.made("a");
  autosave.made("b+");
  ring();
  await settle();
  expect(saves[0]!.steps).toEqual(["ab+"]);
  autosave.made("c+");
  autosave.made("d+");
  expect(autosave.unsaved()).toEqual(["ab+", "c+d+"]);
  saves[0]!.answer("r1");
  await settle();
  expect(autosave.unsaved()).toEqual(["c+d+"]);
});

it("shows a failure and tries again by itself, with nothing lost", async () => {
  const { autosave, timers, saves, states, ring, settle } = bench();
  autosave.made("a");
  ring();
  await settle();
  saves[0]!.fail(new FaultError("disk-full", "The disk is full.", "Make room."));
  await settle();
  expect(states.at(-1)).toBe("failed");
  expect(timers.map(({ ms }) => ms)).toEqual([5000]);
  autosave.made("b");
  ring();
  await settle();
  expect(saves[1]).toMatchObject({ steps: ["a", "b"], base: "r0" });
});

it("stops at a conflict until it is rebased, then saves the steps it is given", async () => {
  const { autosave, saves, states, ring, settle } = bench();
  autosave.made("a");
  ring();
  await settle();
  saves[0]!.fail(new FaultError("session-changed", "Changed elsewhere.", "Choose."));
  await settle();
  expect(states.at(-1)).toBe("conflict");
  autosave.made("b");
  await autosave.flush();
  expect(saves.length).toBe(1);
  autosave.rebase("r9", ["mine over theirs"]);
  ring();
  await settle();
  expect(saves[1]).toMatchObject({ steps: ["mine over theirs"], base: "r9" });
});

it("has nothing to save when a conflict ends with the folder's version", async () => {
  const { autosave, states, ring, settle } = bench();
  autosave.made("a");
  ring();
  await settle();
  autosave.rebase("r9", []);
  expect([autosave.unsaved(), autosave.revision(), states.at(-1)]).toEqual([[], "r9", "saved"]);
});

it("words an exception without a fault as a plain sentence", () => {
  expect(faultOf(new Error("boom")).cause).toBe("Loftmark met an unexpected problem: boom.");
});
