import { expect, it } from "vitest";
import { run } from "./two-tabs.ts";

it("two tabs, three folders, every mix of opening, editing, undoing and conflicting: each folder holds what its tab was told", async () => {
  let said = "";
  const held = await run({
    seed: 8,
    long: false,
    out: (text) => {
      said += text;
    },
  });
  expect(said).toMatch(/^two tabs: 25 runs with seed 8, [1-9]\d* saves told, [1-9]\d* conflicts settled/);
  expect(held).toBe(true);
});
