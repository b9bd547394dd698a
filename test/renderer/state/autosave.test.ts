import { expect, it } from "vitest";
import { createAutosave, faultOf, type SaveState } from "../../../src/renderer/state/autosave.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";

/** An autosave with a clock turned by hand and a folder that answers as told. */
function bench() {
  const timers: { run: () => void; ms: number }[] = [];
  const saves: {
    document: string;
    base: string;
    answer: (revision: string) => void;
    fail: (error: unknown) => void;
  }[] = [];
  const states: SaveState["status"][] = [];
  const autosave = createAutosave<string>("r0", {
    save: (document, base) =>
      new Promise((answer, fail) => {
        saves.push({ document, base, answer, fail });
      }),
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

it("saves once, a little after the last of several changes, on the revision it was loaded at", async () => {
  const { autosave, timers, saves, states, ring, settle } = bench();
  autosave.changed("a");
  autosave.changed("b");
  expect(timers.map(({ ms }) => ms)).toEqual([600]);
  ring();
  await settle();
  expect(saves.map(({ document, base }) => [document, base])).toEqual([["b", "r0"]]);
  saves[0]!.answer("r1");
  await settle();
  expect(states.at(-1)).toBe("saved");
  expect([autosave.revision(), autosave.unsaved()]).toEqual(["r1", false]);
});

it("saves a change made while a save runs afterwards, on the new revision", async () => {
  const { autosave, saves, ring, settle } = bench();
  autosave.changed("a");
  ring();
  await settle();
  autosave.changed("b");
  ring();
  await settle();
  expect(saves.length).toBe(1);
  saves[0]!.answer("r1");
  await settle();
  await settle();
  expect(saves[1]).toMatchObject({ document: "b", base: "r1" });
});

it("shows a failure and tries again by itself, with nothing lost", async () => {
  const { autosave, timers, saves, states, ring, settle } = bench();
  autosave.changed("a");
  ring();
  await settle();
  saves[0]!.fail(new FaultError("disk-full", "The disk is full.", "Make room."));
  await settle();
  expect(states.at(-1)).toBe("failed");
  expect(timers.map(({ ms }) => ms)).toEqual([5000]);
  ring();
  await settle();
  expect(saves[1]).toMatchObject({ document: "a", base: "r0" });
});

it("stops at a conflict until it is rebased, then saves what is pending", async () => {
  const { autosave, saves, states, ring, settle } = bench();
  autosave.changed("a");
  ring();
  await settle();
  saves[0]!.fail(new FaultError("session-changed", "Changed elsewhere.", "Choose."));
  await settle();
  expect(states.at(-1)).toBe("conflict");
  autosave.changed("b");
  await autosave.flush();
  expect(saves.length).toBe(1);
  autosave.rebase("r9");
  ring();
  await settle();
  expect(saves[1]).toMatchObject({ document: "b", base: "r9" });
});

it("words an exception without a fault as a plain sentence", () => {
  expect(faultOf(new Error("boom")).cause).toBe("Something went wrong that Loftmark did not foresee: boom.");
});
