import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { createPictures, type Pictures } from "../../../src/renderer/frame/pictures.ts";

const FULL_HD = 1920 * 1080 * 4; // bytes of a decoded picture

let asked: number[] = [];
let pictures: Pictures;

beforeEach(() => {
  asked = [];
  vi.stubGlobal("createImageBitmap", async () => ({ width: 1920, height: 1080, close() {} }));
  pictures = madeWith(50 * FULL_HD);
});
afterEach(() => {
  pictures.close();
  vi.unstubAllGlobals();
});

function madeWith(budgetBytes: number): Pictures {
  return createPictures({
    service: {
      frame: async (_clip, frame) => {
        asked.push(frame);
        return new Blob();
      },
    },
    onArrival: () => {},
    onFault: (fault) => {
      throw new Error(fault.cause);
    },
    budgetBytes,
  });
}

/** The frames that are fetched when the cursor comes to rest at a frame of a clip of 200. */
async function restAt(frame: number): Promise<number[]> {
  asked = [];
  const attention = {
    clip: "a.mp4",
    content: { bytes: 1, modifiedMs: 1 },
    count: 200,
    frame,
    direction: 1,
    moving: false,
    extracted: () => true,
  } as const;
  pictures.attend(attention);
  await vi.waitFor(() => expect(pictures.isReady("a.mp4", frame)).toBe(true));
  pictures.attend(attention); // as the window does when the frame has arrived: the room is known now
  let before: number;
  do {
    before = asked.length;
    await new Promise((resolve) => setTimeout(resolve));
  } while (asked.length > before);
  return [...asked].sort((a, b) => a - b);
}

const fromTo = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => from + i);

it("decodes a step of ten ahead and half of that behind, not all that there would be room for", async () => {
  expect(await restAt(100)).toEqual(fromTo(95, 110));
  expect(await restAt(150)).toEqual(fromTo(145, 160));
});

it("fetches nothing while plenty is decoded ahead, then far enough to walk ten frames and back", async () => {
  await restAt(100);
  expect(await restAt(101)).toEqual([]);
  expect(await restAt(102)).toEqual([...fromTo(92, 94), ...fromTo(111, 123)]);
});

it("decodes fewer where fewer have room", async () => {
  pictures.close();
  pictures = madeWith(13 * FULL_HD);
  expect(await restAt(100)).toHaveLength(8); // asked for before it is known how large they are
  expect(await restAt(150)).toHaveLength(5); // 13, less those of half size and a margin of two
});
