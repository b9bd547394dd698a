import { expect, it } from "vitest";
import { createDesk } from "../../../src/renderer/state/desk.ts";
import { sessionOf, shotOf } from "../../../src/renderer/state/desk-state.ts";
import type { Service } from "../../../src/renderer/state/service.ts";
import { unsavedNotesIn } from "../../../src/renderer/state/unsaved-notes.ts";
import { measureShot } from "../../../src/shared/measure/measure-shot.ts";
import { FaultError } from "../../../src/shared/quantity/notice.ts";
import type { ClipFacts } from "../../../src/shared/session/clip-facts.ts";
import { freshSession, freshShot } from "../../../src/shared/session/fresh.ts";
import { afterSteps, type JournalStep } from "../../../src/shared/session/journal.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { memoryStorage } from "../../support/memory-storage.ts";
import { ofShot } from "../../support/notice-codes.ts";

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

let pages = 0;

/** A folder in memory behind the window's service, with its journal; the folder can change under the window. */
function bench(session: Session, tab = memoryStorage(), journal: readonly JournalStep[] = []) {
  const folder = {
    session: afterSteps(session, journal),
    revision: 1,
    steps: [...journal],
    moments: new Map<string, Session>(),
  };
  const service = {
    session: async () => ({
      session: folder.session,
      revision: `r${folder.revision}`,
      folderName: "f",
      existed: true,
      before: null,
      access: "writable",
      readOnlyReason: null,
    }),
    saveSteps: async (steps: readonly JournalStep[], base: string) => {
      if (base !== `r${folder.revision}`) {
        throw new FaultError("session-changed", "The session was changed elsewhere.", "Choose.");
      }
      folder.session = afterSteps(folder.session, JSON.parse(JSON.stringify(steps)));
      folder.steps.push(...steps);
      folder.revision++;
      return `r${folder.revision}`;
    },
    undoSteps: async () => ({ from: session, steps: folder.steps, revision: `r${folder.revision}` }),
    moment: async (id: string) => folder.moments.get(id)!,
    clips: async () => [{ name: "a.mp4", bytes: 1, modifiedMs: 1 }],
    job: async () => ({ facts, state: "done", files: null }),
    jobs: async () => [],
    damage: async () => [],
    host: async () => ({ host: "test", id: "f", folder: "/outings/f", name: "f", canPickFolder: false }),
  } as unknown as Service;
  const desk = createDesk({
    service,
    measure: async ({ session: s, shotId, facts: f }) => measureShot(s, shotId, f),
    later: () => () => {},
    unsaved: unsavedNotesIn(tab, `page-${++pages}`),
    now: () => new Date("2026-05-01T10:00:00Z"),
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
  expect(state.results["shot-1"]?.notices.map(({ code }) => code)).toContain(ofShot("no-clock"));
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

it("undo says what it took back, and shows the shot, heading and frame of it", async () => {
  const two = { ...session, shots: [...session.shots, freshShot("shot-2", "two", "a.mp4")] };
  const { desk } = bench(two);
  await desk.open();
  await settle();
  desk.choosePoint("tail");
  desk.goTo(7);
  desk.pickAt([100, 50]);
  desk.chooseShot("shot-2");
  desk.openStep("clock");
  desk.undo();
  const { walked, shotId, step, frame } = desk.store.get();
  expect(walked?.says).toBe("Took back: Marked the tail in frame 7 of one");
  expect([shotId, step, frame]).toEqual(["shot-1", "marks", 7]);
  desk.change({ kind: "set-title", title: "another" });
  expect(desk.store.get().walked).toBeNull();
});

it("sends each step with its words and only what it changes; steps in a row with one key go as one", async () => {
  const { desk, folder } = bench(session);
  await desk.open();
  await settle();
  desk.choosePoint("nose");
  desk.afterMark("stay");
  desk.pickAt([10, 10]);
  desk.nudge(0.1, 0);
  desk.nudge(0.1, 0);
  desk.undo();
  await desk.saveNow();
  expect(folder.steps.map(({ kind, says }) => [kind, says])).toEqual([
    ["do", "Marked the nose in frame 0 of one"],
    ["do", "Moved the nose in frame 0 of one"],
    ["undo", "Took back: Moved the nose in frame 0 of one"],
  ]);
  expect(folder.steps[1]!.patch).toEqual([{ at: ["shots", 0, "marks", 0, "x"], set: 10.2 }]);
  expect(folder.session).toEqual(sessionOf(desk.store.get()));
});

it("can undo, after a reload, what was done before it, and make it again", async () => {
  const before = bench(session);
  await before.desk.open();
  await settle();
  for (const title of ["one", "two", "three"]) before.desk.change({ kind: "set-title", title });
  before.desk.undo();
  await before.desk.saveNow();
  const after = bench(session, memoryStorage(), before.folder.steps);
  await after.desk.open();
  await settle();
  const title = () => sessionOf(after.desk.store.get()).title;
  expect(title()).toBe("two");
  after.desk.redo();
  expect(title()).toBe("three");
  for (let i = 0; i < 3; i++) after.desk.undo();
  expect(title()).toBe("t");
});

it("shows what a closed page could not save before it is taken, and takes it as one step of undo", async () => {
  const { desk, tab, folder } = bench(session);
  await desk.open();
  await settle();
  desk.change({ kind: "set-title", title: "unsaved" });
  folder.revision = 99; // the folder does not take the save of the page that goes away
  await desk.leave();
  const again = bench(session, tab);
  await again.desk.open();
  await settle();
  const now = () => again.desk.store.get();
  expect(sessionOf(now()).title).toBe("t");
  expect(now().offers).toMatchObject([{ kind: "unsaved", says: ['Named the outing "unsaved"'] }]);
  await again.desk.lookAtOffer(now().offers[0]!);
  expect(sessionOf(now()).title).toBe("unsaved");
  await again.desk.saveNow();
  expect(again.folder.session.title).toBe("t");
  again.desk.takePeek();
  await again.desk.saveNow();
  expect([again.folder.session.title, now().offers, now().peek]).toEqual(["unsaved", [], null]);
  again.desk.undo();
  expect(sessionOf(now()).title).toBe("t");
  const third = bench(session, tab);
  await third.desk.open();
  await settle();
  expect(third.desk.store.get().offers).toEqual([]);
});

it("makes the edits of one visit to a field one step of undo, and those of the next another", async () => {
  const { desk, folder } = bench({ ...session, title: "t" });
  await desk.open();
  await settle();
  const title = () => sessionOf(desk.store.get()).title;
  const type = (visit: string, text: string) =>
    desk.duringVisit(visit, () => desk.change({ kind: "set-title", title: text }));
  type("field 1", "value");
  await desk.saveNow();
  desk.goTo(3);
  desk.duringVisit("field 1", () => desk.changeAll([{ kind: "set-title", title: "value and u" }]));
  type("field 2", "again");
  desk.undo();
  expect(title()).toBe("value and u");
  desk.undo();
  expect(title()).toBe("t");
  type("field 3", "one");
  desk.change({ kind: "set-units", units: "field" });
  type("field 3", "two");
  desk.undo();
  expect(title()).toBe("one");
  await desk.saveNow();
  expect(folder.session.title).toBe("one");
});

it("keeps offering what was not saved until the person decides, whatever the page has to keep itself", async () => {
  const first = bench(session);
  await first.desk.open();
  first.desk.change({ kind: "set-title", title: "first loss" });
  first.folder.revision = 99;
  await first.desk.leave();
  const second = bench(session, first.tab);
  await second.desk.open();
  await settle();
  second.desk.change({ kind: "set-title", title: "second loss" });
  second.folder.revision = 99;
  await second.desk.leave();
  const third = bench(session, first.tab);
  await third.desk.open();
  await settle();
  const offered = () =>
    third.desk.store.get().offers.map((offer) => (offer.kind === "unsaved" ? offer.says[0] : ""));
  expect(offered()).toEqual(['Named the outing "first loss"', 'Named the outing "second loss"']);
  third.desk.dropOffer(third.desk.store.get().offers[0]!.id);
  expect(offered()).toEqual(['Named the outing "second loss"']);
});

it("does not offer what was saved after all, though the page did not hear of it", async () => {
  const { desk, tab, folder } = bench(session);
  await desk.open();
  await settle();
  desk.change({ kind: "set-title", title: "arrived" });
  await desk.leave();
  expect(folder.session.title).toBe("arrived");
  const kept = bench(session);
  await kept.desk.open();
  kept.desk.change({ kind: "set-title", title: "arrived" });
  kept.folder.revision = 99;
  await kept.desk.leave(); // the same step, kept in the browser
  const again = bench(session, kept.tab, folder.steps);
  await again.desk.open();
  await settle();
  expect(again.desk.store.get().offers).toEqual([]);
  expect([tab.length, kept.tab.length]).toEqual([0, 0]);
});

it("looks at an earlier state without changing anything, and refuses edits meanwhile", async () => {
  const { desk, folder } = bench(session);
  await desk.open();
  await settle();
  desk.change({ kind: "set-title", title: "now" });
  folder.moments.set("m1", { ...session, title: "this morning" });
  await desk.lookAt({ id: "m1", says: "something", at: "2026-05-01T08:00:00.000Z" });
  expect(sessionOf(desk.store.get()).title).toBe("this morning");
  desk.change({ kind: "set-title", title: "lost?" });
  desk.undo();
  expect(sessionOf(desk.store.get()).title).toBe("this morning");
  expect(desk.store.get().notices.map(({ fault }) => fault.code)).toEqual(["only-looking"]);
  await desk.saveNow();
  expect(folder.session.title).toBe("now");
  desk.endPeek();
  expect(sessionOf(desk.store.get()).title).toBe("now");
  desk.undo();
  expect(sessionOf(desk.store.get()).title).toBe("t");
});

it("goes back to an earlier state as one step of undo", async () => {
  const { desk, folder } = bench(session);
  await desk.open();
  await settle();
  desk.change({ kind: "set-title", title: "now" });
  folder.moments.set("m1", { ...session, title: "this morning" });
  await desk.lookAt({ id: "m1", says: "something", at: "2026-05-01T08:00:00.000Z" });
  desk.takePeek();
  await desk.saveNow();
  expect(folder.session.title).toBe("this morning");
  expect(folder.steps.at(-1)!.says).toBe("Went back to: something");
  desk.undo();
  expect(sessionOf(desk.store.get()).title).toBe("now");
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

it("does not try to save a note of its own in a folder that is read-only, and saves it where it can", async () => {
  const note = async (access: "writable" | "read-only") => {
    const { desk, folder } = bench(session);
    const reply = await desk.service.session();
    Object.assign(desk.service, { session: async () => ({ ...reply, access }) });
    Object.assign(desk.service, {
      job: async () => ({ facts, fingerprint: `sha256-${"a".repeat(64)}`, files: null }),
    });
    await desk.open();
    await settle();
    await desk.saveNow();
    return folder.steps.map(({ kind }) => kind);
  };
  expect(await note("read-only")).toEqual([]);
  expect(await note("writable")).toEqual(["note"]);
});
