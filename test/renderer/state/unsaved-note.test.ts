import { expect, it } from "vitest";
import { unsavedNoteIn } from "../../../src/renderer/state/unsaved-note.ts";
import { freshSession } from "../../../src/shared/session/fresh.ts";

function storage(most = Number.POSITIVE_INFINITY) {
  const kept = new Map<string, string>();
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem(key: string, value: string) {
      if (value.length > most) throw new DOMException("full", "QuotaExceededError");
      kept.set(key, value);
    },
    removeItem: (key: string) => void kept.delete(key),
  };
}

it("keeps a note for each folder by its path: two cards' folders of one name are two", () => {
  const note = unsavedNoteIn(storage());
  const [one, two] = [freshSession("one"), freshSession("two")];
  note.keep("/card 1/DCIM", "r1", one);
  note.keep("/card 2/DCIM", "r2", two);
  expect(note.read("/card 1/DCIM")).toEqual({ baseRevision: "r1", session: one });
  note.clear("/card 2/DCIM");
  expect(note.read("/card 2/DCIM")).toBeNull();
  expect(note.read("/card 1/DCIM")).toEqual({ baseRevision: "r1", session: one });
});

it("reads nothing from a note that is not whole, and is silent when there is no room", () => {
  const tab = storage(5);
  const note = unsavedNoteIn(tab);
  tab.setItem("loftmark-unsaved /f", "{ha");
  expect(note.read("/f")).toBeNull();
  note.keep("/f", "r1", freshSession("one"));
  expect(note.read("/f")).toBeNull();
});
