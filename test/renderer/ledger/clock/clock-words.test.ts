import { expect, it } from "vitest";
import { checkSays, gapsSay, repeatsFound } from "../../../../src/renderer/ledger/clock/clock-words.ts";
import { freshShot } from "../../../../src/shared/session/fresh.ts";
import type { Point, Shot } from "../../../../src/shared/session/schema.ts";

const shot = freshShot("shot-1", "one", "a.mp4");
const other = freshShot("shot-2", "Shot 2", "b.mp4");
const nose: Point = { id: "nose", name: "nose", on: "airframe", airframeId: "airframe-1", body: null };
/** A point that moves on by 10 px with every new picture. */
const moving = (pictures: readonly number[]): Shot => ({
  ...shot,
  marks: pictures.map((picture, frame) => ({
    pointId: "nose",
    frame,
    x: 10 * picture,
    y: 5,
    u: 0.3,
    by: "hand",
  })),
});
/** Greatest grey differences of a moving scene in which these frames repeat. */
const differences = (n: number, repeats: readonly number[]) =>
  Array.from({ length: n }, (_, k) => (k === 0 ? null : repeats.includes(k) ? 1 : 40));

it("words a check with its distance from the stated rate in u of their difference", () => {
  const check = { kind: "drop", shotId: "shot-2", captureRateHz: { value: 957, u: 1.6 } } as const;
  // (957 - 960) / hypot(1.6, 1.2) = -1.5
  expect(checkSays(check, shot, [shot, other], { value: 960, u: 1.2 })).toBe(
    "A drop in Shot 2 implies 957.0 ± 1.6 frames/s, −1.5 u from the stated rate.",
  );
  const lamp = { kind: "lamp", shotId: "shot-1", captureRateHz: { value: 961, u: 0.5 } } as const;
  expect(checkSays(lamp, shot, [shot, other], null)).toBe(
    "The lamp in this clip implies 961.0 ± 0.5 frames/s.",
  );
});

it("says that nothing repeats, or that too little moves or there is too little to tell", () => {
  expect(repeatsFound(differences(20, []), shot, [nose])).toEqual({
    text: "None of the 19 frames that could be judged repeats the picture before it.",
    frames: [],
    kind: null,
  });
  expect(repeatsFound([null, ...Array(20).fill(1)], shot, [nose]).text).toMatch(/^Too little moves/);
  expect(repeatsFound(differences(5, []), shot, [nose]).text).toMatch(/5 frames are too few/);
});

it("tells padding from lost frames by how far the most marked point moves across one", () => {
  const repeats = [7, 15, 27];
  const padded: number[] = [];
  for (let frame = 0, picture = 0; frame < 34; frame++)
    padded.push(repeats.includes(frame) ? picture - 1 : picture++);
  const inserted = repeatsFound(differences(34, repeats), moving(padded), [nose]);
  expect(inserted).toMatchObject({ frames: repeats, kind: "inserted" });
  expect(inserted.text).toMatch(
    /^3 frames repeat the picture before .*: 7, 15, 27\. Across one, the nose moves 1\.0/,
  );
  const lost = Array.from({ length: 34 }, (_, frame) => (repeats.includes(frame) ? frame - 1 : frame));
  expect(repeatsFound(differences(34, repeats), moving(lost), [nose])).toMatchObject({
    frames: repeats,
    kind: "stale",
  });
});

it("leaves the kind open when the marks do not tell", () => {
  const found = repeatsFound(differences(34, [7, 15, 27]), shot, [nose]);
  expect(found.kind).toBeNull();
  expect(found.text).toMatch(/The marks do not tell/);
});

it("says where the file lacks frames", () => {
  expect(gapsSay([{ afterFrame: 40, missing: 1 }])).toBe(
    "By its timestamps the file lacks one frame, after frame 40.",
  );
  const two = [
    { afterFrame: 40, missing: 1 },
    { afterFrame: 77, missing: 2 },
  ];
  expect(gapsSay(two)).toBe("By its timestamps the file lacks 3 frames, after frames 40 and 77.");
  const many = [1, 2, 3, 4, 5].map((afterFrame) => ({ afterFrame, missing: 1 }));
  expect(gapsSay(many)).toMatch(/after frames 1, 2, 3, 4 and others\.$/);
});
