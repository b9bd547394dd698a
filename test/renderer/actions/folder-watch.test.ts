import { expect, it } from "vitest";
import { LOOK_EVERY_MS, watchFolder } from "../../../src/renderer/actions/folder-watch.ts";

function bench() {
  const timers: { run: () => void; ms: number }[] = [];
  const seen = { looks: 0, visible: true, comeBack: () => {}, end: () => {} };
  watchFolder({
    look: () => {
      seen.looks++;
      return new Promise((resolve) => {
        seen.end = resolve;
      });
    },
    isVisible: () => seen.visible,
    onReturn(listener) {
      seen.comeBack = listener;
    },
    later(run, ms) {
      const timer = { run, ms };
      timers.push(timer);
      return () => {
        if (timers.includes(timer)) timers.splice(timers.indexOf(timer), 1);
      };
    },
  });
  const settle = () => new Promise((resolve) => setImmediate(resolve));
  return { timers, seen, settle };
}

it("looks every few seconds while the window is visible, each look after the one before", async () => {
  const { timers, seen, settle } = bench();
  expect(timers.map(({ ms }) => ms)).toEqual([LOOK_EVERY_MS]);
  timers[0]!.run();
  expect([seen.looks, timers.length]).toEqual([1, 0]);
  seen.end();
  await settle();
  expect(timers).toHaveLength(1);
  seen.visible = false;
  timers[0]!.run();
  await settle();
  expect([seen.looks, timers.length]).toEqual([1, 1]);
});

it("looks at once when the person comes back, and not twice at a time", async () => {
  const { timers, seen, settle } = bench();
  seen.comeBack();
  seen.comeBack();
  expect(seen.looks).toBe(1);
  seen.end();
  await settle();
  expect(timers).toHaveLength(1);
});
