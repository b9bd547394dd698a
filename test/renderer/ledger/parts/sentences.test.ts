import { expect, it } from "vitest";
import * as says from "../../../../src/renderer/ledger/parts/sentences.ts";
import { freshElastic } from "../../../../src/shared/launchers/elastic/fresh-elastic.ts";
import { freshRam } from "../../../../src/shared/launchers/ram/fresh-ram.ts";
import type { ClipFacts } from "../../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../../src/shared/session/fresh.ts";
import type { Shot } from "../../../../src/shared/session/schema.ts";

const shot = freshShot("shot-1", "one", "a.mp4");

it("asks for the clip, and tells why one could not be read", () => {
  expect(says.clipSays({ ...shot, clip: null }, undefined)).toEqual({
    text: "No clip yet: choose one of the folder's.",
    done: false,
  });
  const fault = { code: "not-a-video", cause: "a.mp4 holds no video.", remedy: "" } as const;
  expect(says.clipSays(shot, { status: "failed", fault })).toEqual({
    text: "a.mp4 holds no video.",
    done: false,
  });
});

it("leaves the clip to do while the file is not the one that was marked", () => {
  const facts = { width: 640, height: 360, pts: [0, 1, 2], durationS: 0.1, playbackRateHz: 30 };
  const knowledge = { status: "known", facts: facts as unknown as ClipFacts, fingerprint: null } as const;
  const text = "a.mp4: 3 frames of 640 × 360 px; plays 0.1 s at 30 frames/s.";
  expect(says.clipSays(shot, knowledge)).toEqual({ text, done: true });
  expect(says.clipSays(shot, knowledge, true)).toEqual({ text, done: false });
});

it("asks for the capture rate, and says what a frame then is", () => {
  expect(says.clockSays(shot, null)).toEqual({ text: "Say how fast the camera filmed.", done: false });
  const clock = { kind: "capture-rate", captureRateHz: { value: 960, u: 1.2 } } as const;
  expect(says.clockSays({ ...shot, clock }, null)).toEqual({
    text: "Filmed at 960.0 ± 1.2 frames/s: a frame is 1.042 ms.",
    done: true,
  });
});

it("says what a pixel is worth, asks for the plumb, and then says how it leans", () => {
  const scale: Shot["scale"] = { a: [0, 0], b: [500, 0], uPx: 0.5, rodM: { value: 1, u: 0.001 } };
  const half = says.scaleSays({ ...shot, scale }, "SI");
  expect(half.done).toBe(false);
  expect(half.text).toMatch(/^A rod of 1\.0000 ± 0\.0010 m: 2\.000 ± 0\.003 mm a pixel\. Mark the plumb too/);
  const plumb: Shot["plumb"] = { top: [10, 0], bottom: [10, 400], uPx: 0.5, hangRad: 0.001 };
  expect(says.scaleSays({ ...shot, scale, plumb }, "SI").text).toMatch(
    /The plumb leans 0\.00 ± 0\.12° in the picture\.$/,
  );
});

it("says what is wanted of the next shot and how it is to be had, and asks for nothing", () => {
  const session = freshSession("one");
  expect(says.nextShotSays(session, null)).toMatchObject({
    done: true,
    text: expect.stringContaining("you want"),
  });
  const nextShot = {
    speedMPerS: { value: 14.5, u: 0.3 },
    choose: "pressure",
    leastStallMargin: null,
  } as const;
  expect(says.nextShotSays({ ...session, nextShot }, null).text).toBe("14.5 m/s is wanted.");
  const launcher = freshRam();
  expect(says.nextShotSays({ ...session, nextShot, units: "field" }, launcher).text).toBe(
    "47.6 ft/s is wanted, by the tank pressure.",
  );
  // What was to be changed is nothing to change on another launcher: what one thinks of first there.
  expect(says.nextShotSays({ ...session, nextShot }, freshElastic()).text).toBe(
    "14.5 m/s is wanted, by the draw of the line.",
  );
  const byHand = { kind: "no-model", name: "" } as const;
  expect(says.nextShotSays({ ...session, nextShot }, byHand).text).toMatch(/^Without a model/);
});

it("keeps a number on one line with its uncertainty", () => {
  expect(says.numbersHeld("7 ± 4 % in speed, 3 × 4 px")).toBe(
    "7\u00a0±\u00a04\u00a0% in speed, 3\u00a0×\u00a04 px",
  );
});

it("names further rods, known points and a level line that stands in for the plumb", () => {
  const scale: Shot["scale"] = { a: [0, 0], b: [500, 0], uPx: 0.5, rodM: { value: 1, u: 0.001 } };
  const level: Shot["level"] = { left: [0, 5], right: [400, 5], uPx: 0.5, tiltRad: 0.001 };
  expect(says.scaleSays({ ...shot, scale, level, rods: [scale] }, "SI")).toEqual({
    text: "A rod of 1.0000 ± 0.0010 m and another: 2.000 ± 0.003 mm a pixel. The level line tells the roll.",
    done: true,
  });
  const control: Shot["control"] = { uPx: 0.5, uM: 0.005, points: [] };
  expect(says.scaleSays({ ...shot, control }, "SI")).toEqual({
    text: "A plane of 0 known points.",
    done: false,
  });
});
