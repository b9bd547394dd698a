import { expect, it } from "vitest";
import { draggedIn, dropWords } from "../../../src/renderer/shots/drop-words.ts";

const file = (type: string) => ({ kind: "file", type });
const IN_BROWSER = { folder: "May card", readOnly: false, saysPaths: false };
const ON_DESKTOP = { ...IN_BROWSER, saysPaths: true };

/** What is said of things of these types. */
const said = (types: readonly string[], target = ON_DESKTOP) =>
  dropWords(draggedIn(types.map(file)), target).does;

it("counts clips, folders with what the system does not know, and the rest; text is none of them", () => {
  const items = [
    file("video/mp4"),
    file("video/quicktime"),
    file(""),
    file("application/mxf"),
    file("image/png"),
  ];
  expect(draggedIn([...items, { kind: "string", type: "text/plain" }])).toEqual({
    clips: 2,
    unknown: 2,
    others: 1,
  });
});

it("says what a drop will do with clips, with what may be a folder, and with both", () => {
  expect(said(["video/mp4"])).toBe("Add this clip to May card");
  expect(said(["video/mp4", "video/mp4", "video/mp4"])).toBe("Add 3 clips to May card");
  expect(said(["", "video/mp4"])).toBe("Add the clips among these 2 to May card");
  expect(said([""])).toBe("Open this folder; or, if it is a clip, add it to May card");
  expect(said([""], IN_BROWSER)).toBe("Add this clip, or the clips in this folder, to May card");
});

it("takes nothing that is certainly no clip, and says what it takes", () => {
  const words = dropWords(draggedIn([file("image/png"), file("audio/wav")]), ON_DESKTOP);
  expect(words).toEqual({ takes: false, does: "Only clips and folders can be dropped here", note: "" });
});

it("says of a read-only folder that none can be copied into it", () => {
  const words = dropWords(draggedIn([file("video/mp4")]), { ...ON_DESKTOP, readOnly: true });
  expect(words.note).toBe("May card is read-only: a clip that it has is shown, none can be copied into it.");
  expect(dropWords(draggedIn([file("video/mp4")]), ON_DESKTOP).note).toBe(
    "A clip from elsewhere is copied into the folder. Nothing there is replaced.",
  );
});

it("opens a folder where none is open, on the desktop alone", () => {
  const nowhere = (saysPaths: boolean) => ({ folder: null, readOnly: false, saysPaths });
  const folder = draggedIn([file("")]);
  expect(dropWords(folder, nowhere(true))).toEqual({ takes: true, does: "Open this folder", note: "" });
  expect(dropWords(folder, nowhere(false)).takes).toBe(false);
  expect(dropWords(draggedIn([file("video/mp4")]), nowhere(true))).toMatchObject({
    takes: false,
    does: "Drop a folder here to open it",
  });
});
