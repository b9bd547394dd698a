import { expect, it } from "vitest";
import { createDesk } from "../../../src/renderer/state/desk.ts";
import { sessionOf, shotOf } from "../../../src/renderer/state/desk-state.ts";
import type { Service } from "../../../src/renderer/state/service.ts";
import { unsavedNoteIn } from "../../../src/renderer/state/unsaved-note.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { measureShot } from "../../../src/shared/shot/measure-shot.ts";

const facts = {
  name: "a.mp4",
  width: 640,
  height: 360,
  pts: Array.from({ length: 50 }, (_, i) => i),
  timeBase: [1, 30],
} as unknown as ClipFacts;
const settle = async () => {
  for (let i = 0; i < 5; i++) await new Promise((resolve) => setImmediate(resolve));
};

/** A storage in memory, as a tab's. */
function storage() {
  const kept = new Map<string, string>();
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  };
}

/** A folder in memory behind the window's service; the folder can change under the window. */
function bench(session: Session, tab = storage()) {
  const folder = { session, revision: 1 };
  const service = {
    session: async () => ({
      session: folder.session,
      revision: `r${folder.revision}`,
      folderName: "f",
      existed: true,
    }),
    save: async (next: Session, base: string) => {
      if (base !== `r${folder.revision}`) {
        const { FaultError } = await import("../../../src/shared/quantity/notice.ts");
        throw new FaultError("session-changed", "The session was changed elsewhere.", "Choose.");
      }
      folder.session = next;
      folder.revision++;
      return `r${folder.revision}`;
    },
    clips: async () => [{ name: "a.mp4", bytes: 1, modifiedMs: 1 }],
    job: async () => ({ facts, state: "done", files: null }),
    jobs: async () => [],
    host: async () => ({ host: "test", folder: null, canPickFolder: false }),
  } as unknown as Service;
  const desk = createDesk({
    service,
    measure: async ({ session: s, shotId, facts: f }) => measureShot(s, shotId, f),
    later: () => () => {},
    unsaved: unsavedNoteIn(tab),
  });
  return { desk, folder, tab };
}

const session: Session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", "a.mp4")] };

it("opens on the first shot, at the first heading that lacks something, with its clip known and measured", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  const state = desk.store.get();
  expect([state.phase, state.shotId, state.step, state.pointId]).toEqual([
    "ready",
    "shot-1",
    "clock",
    "nose",
  ]);
  expect(state.known["a.mp4"]?.status).toBe("known");
  expect(state.results["shot-1"]?.notices.map(({ code }) => code)).toContain("no-clock");
});

it("makes a shot of the only clip of a fresh folder", async () => {
  const { desk } = bench(freshSession("t"));
  await desk.open();
  await settle();
  expect(shotOf(desk.store.get())).toMatchObject({ id: "shot-1", clip: "a.mp4" });
});

it("places a mark, goes to the next frame, and undoes it", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  desk.choosePoint("tail");
  desk.goTo(7);
  desk.pickAt([100.126, 50]);
  expect(shotOf(desk.store.get())?.marks).toEqual([
    { pointId: "tail", frame: 7, x: 100.13, y: 50, u: 0.5, by: "hand" },
  ]);
  expect(desk.store.get().frame).toBe(8);
  desk.undo();
  expect(shotOf(desk.store.get())?.marks).toEqual([]);
});

it("goes through the points of a frame before the next frame when asked to", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  desk.afterMark("next-point");
  desk.choosePoint("nose");
  desk.pickAt([10, 10]);
  expect([desk.store.get().frame, desk.store.get().pointId]).toEqual([0, "tail"]);
  desk.pickAt([5, 10]);
  expect([desk.store.get().frame, desk.store.get().pointId]).toEqual([1, "nose"]);
});

it("nudges in a row as one step of undo, and removes the mark it acts on", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  desk.choosePoint("nose");
  desk.afterMark("stay");
  desk.pickAt([10, 10]);
  desk.nudge(0.1, 0);
  desk.nudge(0.1, 0);
  desk.nudge(0, -1);
  expect(shotOf(desk.store.get())?.marks[0]).toMatchObject({ x: 10.2, y: 9 });
  desk.undo();
  expect(shotOf(desk.store.get())?.marks[0]).toMatchObject({ x: 10, y: 10 });
  desk.remove();
  expect(shotOf(desk.store.get())?.marks).toEqual([]);
});

it("makes a scale of two picked ends and a length, in any order, then asks for the plumb; each end keeps its frame", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  desk.openStep("scale");
  desk.typeRod({ value: 1.2, u: 0.001 });
  desk.pickAt([10, 20]);
  expect(shotOf(desk.store.get())?.scale).toBeNull();
  desk.goTo(7);
  desk.pickAt([510, 20]);
  expect(shotOf(desk.store.get())?.scale).toEqual({
    a: [10, 20],
    b: [510, 20],
    aFrame: 0,
    bFrame: 7,
    uPx: 0.5,
    rodM: { value: 1.2, u: 0.001 },
  });
  expect(desk.store.get().pick).toEqual({ kind: "plumb", end: "top" });
  desk.pickAt([30, 300]); // below first: top and bottom are told apart by height
  desk.goTo(9);
  desk.pickAt([31, 40]);
  expect(shotOf(desk.store.get())?.plumb).toMatchObject({
    top: [31, 40],
    bottom: [30, 300],
    topFrame: 9,
    bottomFrame: 7,
  });
  desk.goTo(12);
  desk.moveTo({ kind: "scale", end: "a" }, [11, 20]);
  desk.moveTo({ kind: "plumb", end: "bottom" }, [30, 301]);
  expect(shotOf(desk.store.get())).toMatchObject({
    scale: { a: [11, 20], aFrame: 12, bFrame: 7 },
    plumb: { topFrame: 9, bottomFrame: 12 },
  });
});

it("lets go of half a pick on cancel, and of the shot's selection when undo takes it away", async () => {
  const { desk } = bench(session);
  await desk.open();
  await settle();
  desk.openStep("scale");
  desk.pickAt([10, 20]);
  desk.cancel();
  expect([desk.store.get().pending.scaleA, desk.store.get().pick]).toEqual([
    null,
    { kind: "scale", end: "a" },
  ]);
  desk.choosePoint("nose");
  desk.afterMark("stay");
  desk.pickAt([10, 10]);
  expect(desk.store.get().selected).toEqual({ kind: "mark", pointId: "nose" });
  desk.undo();
  expect(desk.store.get().selected).toBeNull();
});

it("brings back as one undoable step what a closed page could not save", async () => {
  const { desk, folder, tab } = bench(session);
  await desk.open();
  await settle();
  folder.revision = 1;
  desk.change({ kind: "set-title", title: "unsaved" });
  tab.setItem(
    "loftmark-unsaved",
    JSON.stringify({ folder: "f", baseRevision: "r1", session: sessionOf(desk.store.get()) }),
  );
  const again = bench(session, tab);
  await again.desk.open();
  await settle();
  expect(sessionOf(again.desk.store.get()).title).toBe("unsaved");
  again.desk.undo();
  expect(sessionOf(again.desk.store.get()).title).toBe("t");
});

it("keeps both documents in a conflict, whichever is chosen", async () => {
  const { desk, folder } = bench(session);
  await desk.open();
  await settle();
  folder.session = { ...session, title: "theirs" };
  folder.revision = 5;
  desk.change({ kind: "set-title", title: "mine" });
  await desk.saveNow();
  expect(desk.store.get().save.status).toBe("conflict");
  await desk.settleConflict("mine");
  expect([folder.session.title, desk.store.get().save.status]).toEqual(["mine", "saved"]);
  desk.undo();
  expect(sessionOf(desk.store.get()).title).toBe("theirs");
});

it("takes an answer that got lost for what it is: saved, and no conflict", async () => {
  const { desk, folder } = bench(session);
  await desk.open();
  await settle();
  desk.change({ kind: "set-title", title: "mine" });
  folder.session = sessionOf(desk.store.get()); // the save arrived, its answer did not
  folder.revision = 2;
  await desk.saveNow();
  await settle();
  expect(desk.store.get().save.status).not.toBe("conflict");
});
