import { expect, it } from "vitest";
import { unsavedNotesIn } from "../../../src/renderer/saving/unsaved-notes.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";
import { bigSession } from "../../support/big-session.ts";
import { memoryStorage } from "../../support/memory-storage.ts";

function note(at: string) {
  const step = {
    kind: "do",
    says: at,
    place: { shotId: null, frame: null, heading: null },
    at,
    patch: [],
  } as const;
  return { baseRevision: "r1", steps: [step], session: freshSession("one") };
}

it("keeps a note a page for each folder by its path: two cards' folders of one name are two", () => {
  const storage = memoryStorage();
  const [a, b, later] = ["a", "b", "later"].map((page) => unsavedNotesIn(storage, page)) as [
    Notes,
    Notes,
    Notes,
  ];
  a.keep("/card 1/DCIM", note("2026-05-01T11"));
  b.keep("/card 1/DCIM", note("2026-05-01T10"));
  b.keep("/card 2/DCIM", note("2026-05-01T12"));
  expect(later.left("/card 1/DCIM").map(({ note: { steps } }) => steps[0]!.at)).toEqual([
    "2026-05-01T10",
    "2026-05-01T11",
  ]);
  expect(a.left("/card 1/DCIM").length).toBe(1); // another page's, not its own
  b.clear("/card 1/DCIM");
  expect(later.left("/card 1/DCIM").map(({ note: kept }) => kept)).toEqual([note("2026-05-01T11")]);
  later.forget(later.left("/card 1/DCIM")[0]!.id);
  expect(later.left("/card 1/DCIM")).toEqual([]);
  expect(later.left("/card 2/DCIM").length).toBe(1);
});
type Notes = ReturnType<typeof unsavedNotesIn>;

it("keeps the steps alone where there is no room for the document, and says where there is none for them", () => {
  const small = memoryStorage(300);
  expect(unsavedNotesIn(small, "a").keep("/f", note("2026-05-01T11"))).toBe(true);
  const { session: _whole, ...steps } = note("2026-05-01T11");
  expect(
    unsavedNotesIn(small, "b")
      .left("/f")
      .map(({ note: kept }) => kept),
  ).toEqual([steps]);
  const tiny = memoryStorage(20);
  expect(unsavedNotesIn(tiny, "a").keep("/f", note("2026-05-01T11"))).toBe(false);
  expect(unsavedNotesIn(tiny, "b").left("/f")).toEqual([]);
});

it("does not even write a document that no storage has room for", () => {
  const written: number[] = [];
  const storage = memoryStorage();
  const watched = Object.assign(Object.create(storage) as Storage, {
    setItem(key: string, value: string) {
      written.push(value.length);
      storage.setItem(key, value);
    },
  });
  const session = bigSession(3e6);
  expect(unsavedNotesIn(watched, "a").keep("/f", { ...note("2026-05-01T11"), session })).toBe(true);
  expect(Math.max(...written)).toBeLessThan(1000);
  const [left] = unsavedNotesIn(storage, "b").left("/f");
  expect(left!.note.steps.map(({ says }) => says)).toEqual(["2026-05-01T11"]);
});

it("passes over a note that is not whole", () => {
  const storage = memoryStorage();
  storage.setItem("loftmark-unsaved a /f", "{ha");
  expect(unsavedNotesIn(storage, "b").left("/f")).toEqual([]);
});
