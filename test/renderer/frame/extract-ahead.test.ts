import { expect, it } from "vitest";
import { createExtractAhead } from "../../../src/renderer/frame/extract-ahead.ts";

const settle = () => new Promise((resolve) => setImmediate(resolve));

it("extracts a block once, and again when its clip's file was replaced; other clips stay extracted", async () => {
  const asked: string[] = [];
  const ahead = createExtractAhead(
    async (clip, { from }) => {
      asked.push(`${clip} ${from}`);
      return true;
    },
    () => {},
  );
  for (const clip of ["a.mp4", "b a.mp4", "a.mp4"]) {
    ahead.attend(clip, 3, 1, 40);
    await settle();
  }
  expect(asked).toEqual(["a.mp4 0", "b a.mp4 0"]);
  ahead.forget("a.mp4");
  expect([ahead.extracted("a.mp4", 3), ahead.extracted("b a.mp4", 3)]).toEqual([false, true]);
  ahead.attend("a.mp4", 3, 1, 40);
  await settle();
  expect(asked).toEqual(["a.mp4 0", "b a.mp4 0", "a.mp4 0"]);
});
