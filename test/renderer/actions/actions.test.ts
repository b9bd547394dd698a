import { expect, it } from "vitest";
import { createActions } from "../../../src/renderer/actions/actions.ts";
import { sessionOf, shotOf } from "../../../src/renderer/app-state/app-state.ts";
import type { Service } from "../../../src/renderer/host/service.ts";
import { unsavedNotesIn } from "../../../src/renderer/saving/unsaved-notes.ts";
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

/**
 * A folder in memory behind the window's service, with its journal; the folder can change under the window.
 */
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
      truth: null,
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
    measured: async () => [],
    keepMeasured: async () => {},
    job: async () => ({ facts, state: "done", files: null }),
    jobs: async () => [],
    damage: async () => [],
    host: async () => ({ host: "test", id: "f", folder: "/outings/f", name: "f", canPickFolder: false }),
  } as unknown as Service;
  const actions = createActions({
    service,
    measure: async ({ session: s, shotId, facts: f }) => measureShot(s, shotId, f),
    later: () => () => {},
    unsaved: unsavedNotesIn(tab, `page-${++pages}`),
    now: () => new Date("2026-05-01T10:00:00Z"),
  });
  return { actions, folder, tab };
}

const session: Session = { ...freshSession("t"), shots: [freshShot("shot-1", "one", "a.mp4")] };

it("opens on the first shot, at the first heading that lacks something, with its clip known and measured", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  const state = actions.store.get();
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
  const { actions } = bench(freshSession("t"));
  await actions.open();
  await settle();
  expect(shotOf(actions.store.get())).toMatchObject({ id: "shot-1", clip: "a.mp4" });
});

it("places a mark, goes to the next frame, and undoes it", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  actions.choosePoint("tail");
  actions.goTo(7);
  actions.pickAt([100.126, 50]);
  expect(shotOf(actions.store.get())?.marks).toEqual([
    { pointId: "tail", frame: 7, x: 100.13, y: 50, u: 0.5, by: "hand" },
  ]);
  expect(actions.store.get().frame).toBe(8);
  actions.undo();
  expect(shotOf(actions.store.get())?.marks).toEqual([]);
});

it("goes through the points of a frame before the next frame when asked to", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  actions.afterMark("next-point");
  actions.choosePoint("nose");
  actions.pickAt([10, 10]);
  expect([actions.store.get().frame, actions.store.get().pointId]).toEqual([0, "tail"]);
  actions.pickAt([5, 10]);
  expect([actions.store.get().frame, actions.store.get().pointId]).toEqual([1, "nose"]);
});

it("nudges in a row as one step of undo, and removes the mark it acts on", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  actions.choosePoint("nose");
  actions.afterMark("stay");
  actions.pickAt([10, 10]);
  actions.nudge(0.1, 0);
  actions.nudge(0.1, 0);
  actions.nudge(0, -1);
  expect(shotOf(actions.store.get())?.marks[0]).toMatchObject({ x: 10.2, y: 9 });
  actions.undo();
  expect(shotOf(actions.store.get())?.marks[0]).toMatchObject({ x: 10, y: 10 });
  actions.remove();
  expect(shotOf(actions.store.get())?.marks).toEqual([]);
});

it("makes a scale of two picked ends and a length, in any order, then asks for the plumb; each end keeps its frame", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  actions.openStep("scale");
  actions.typeRod({ value: 1.2, u: 0.001 });
  actions.pickAt([10, 20]);
  expect(shotOf(actions.store.get())?.scale).toBeNull();
  actions.goTo(7);
  actions.pickAt([510, 20]);
  expect(shotOf(actions.store.get())?.scale).toEqual({
    a: [10, 20],
    b: [510, 20],
    aFrame: 0,
    bFrame: 7,
    uPx: 0.5,
    rodM: { value: 1.2, u: 0.001 },
  });
  expect(actions.store.get().pick).toEqual({ kind: "plumb", end: "top" });
  actions.pickAt([30, 300]); // below first: top and bottom are told apart by height
  actions.goTo(9);
  actions.pickAt([31, 40]);
  expect(shotOf(actions.store.get())?.plumb).toMatchObject({
    top: [31, 40],
    bottom: [30, 300],
    topFrame: 9,
    bottomFrame: 7,
  });
  actions.goTo(12);
  actions.moveTo({ kind: "scale", end: "a" }, [11, 20]);
  actions.moveTo({ kind: "plumb", end: "bottom" }, [30, 301]);
  expect(shotOf(actions.store.get())).toMatchObject({
    scale: { a: [11, 20], aFrame: 12, bFrame: 7 },
    plumb: { topFrame: 9, bottomFrame: 12 },
  });
});

it("lets go of half a pick on cancel, and of the shot's selection when undo takes it away", async () => {
  const { actions } = bench(session);
  await actions.open();
  await settle();
  actions.openStep("scale");
  actions.pickAt([10, 20]);
  actions.cancel();
  expect([actions.store.get().pending.scaleA, actions.store.get().pick]).toEqual([
    null,
    { kind: "scale", end: "a" },
  ]);
  actions.choosePoint("nose");
  actions.afterMark("stay");
  actions.pickAt([10, 10]);
  expect(actions.store.get().selected).toEqual({ kind: "mark", pointId: "nose" });
  actions.undo();
  expect(actions.store.get().selected).toBeNull();
});

it("undo says what it took back, and shows the shot, heading and frame of it", async () => {
  const two = { ...session, shots: [...session.shots, freshShot("shot-2", "two", "a.mp4")] };
  const { actions } = bench(two);
  await actions.open();
  await settle();
  actions.choosePoint("tail");
  actions.goTo(7);
  actions.pickAt([100, 50]);
  actions.chooseShot("shot-2");
  actions.openStep("clock");
  actions.undo();
  const { walked, shotId, step, frame } = actions.store.get();
  expect(walked?.says).toBe("Undid: Marked the tail in frame 7 of one");
  expect([shotId, step, frame]).toEqual(["shot-1", "marks", 7]);
  actions.change({ kind: "set-title", title: "another" });
  expect(actions.store.get().walked).toBeNull();
});

it("sends each step with its words and only what it changes; steps in a row with one key go as one", async () => {
  const { actions, folder } = bench(session);
  await actions.open();
  await settle();
  actions.choosePoint("nose");
  actions.afterMark("stay");
  actions.pickAt([10, 10]);
  actions.nudge(0.1, 0);
  actions.nudge(0.1, 0);
  actions.undo();
  await actions.saveNow();
  expect(folder.steps.map(({ kind, says }) => [kind, says])).toEqual([
    ["do", "Marked the nose in frame 0 of one"],
    ["do", "Moved the nose in frame 0 of one"],
    ["undo", "Undid: Moved the nose in frame 0 of one"],
  ]);
  expect(folder.steps[1]!.patch).toEqual([{ at: ["shots", 0, "marks", 0, "x"], set: 10.2 }]);
  expect(folder.session).toEqual(sessionOf(actions.store.get()));
});

it("can undo, after a reload, what was done before it, and make it again", async () => {
  const before = bench(session);
  await before.actions.open();
  await settle();
  for (const title of ["one", "two", "three"]) before.actions.change({ kind: "set-title", title });
  before.actions.undo();
  await before.actions.saveNow();
  const after = bench(session, memoryStorage(), before.folder.steps);
  await after.actions.open();
  await settle();
  const title = () => sessionOf(after.actions.store.get()).title;
  expect(title()).toBe("two");
  after.actions.redo();
  expect(title()).toBe("three");
  for (let i = 0; i < 3; i++) after.actions.undo();
  expect(title()).toBe("t");
});

it("shows what a closed page could not save before it is taken, and takes it as one step of undo", async () => {
  const { actions, tab, folder } = bench(session);
  await actions.open();
  await settle();
  actions.change({ kind: "set-title", title: "unsaved" });
  folder.revision = 99; // the folder does not take the save of the page that goes away
  await actions.leave();
  const again = bench(session, tab);
  await again.actions.open();
  await settle();
  const now = () => again.actions.store.get();
  expect(sessionOf(now()).title).toBe("t");
  expect(now().offers).toMatchObject([{ kind: "unsaved", says: ['Named the outing "unsaved"'] }]);
  await again.actions.lookAtOffer(now().offers[0]!);
  expect(sessionOf(now()).title).toBe("unsaved");
  await again.actions.saveNow();
  expect(again.folder.session.title).toBe("t");
  again.actions.takePeek();
  await again.actions.saveNow();
  expect([again.folder.session.title, now().offers, now().peek]).toEqual(["unsaved", [], null]);
  again.actions.undo();
  expect(sessionOf(now()).title).toBe("t");
  const third = bench(session, tab);
  await third.actions.open();
  await settle();
  expect(third.actions.store.get().offers).toEqual([]);
});

it("makes the edits of one visit to a field one step of undo, and those of the next another", async () => {
  const { actions, folder } = bench({ ...session, title: "t" });
  await actions.open();
  await settle();
  const title = () => sessionOf(actions.store.get()).title;
  const type = (visit: string, text: string) =>
    actions.duringVisit(visit, () => actions.change({ kind: "set-title", title: text }));
  type("field 1", "value");
  await actions.saveNow();
  actions.goTo(3);
  actions.duringVisit("field 1", () => actions.changeAll([{ kind: "set-title", title: "value and u" }]));
  type("field 2", "again");
  actions.undo();
  expect(title()).toBe("value and u");
  actions.undo();
  expect(title()).toBe("t");
  type("field 3", "one");
  actions.change({ kind: "set-units", units: "field" });
  type("field 3", "two");
  actions.undo();
  expect(title()).toBe("one");
  await actions.saveNow();
  expect(folder.session.title).toBe("one");
});

it("keeps offering what was not saved until the person decides, whatever the page has to keep itself", async () => {
  const first = bench(session);
  await first.actions.open();
  first.actions.change({ kind: "set-title", title: "first loss" });
  first.folder.revision = 99;
  await first.actions.leave();
  const second = bench(session, first.tab);
  await second.actions.open();
  await settle();
  second.actions.change({ kind: "set-title", title: "second loss" });
  second.folder.revision = 99;
  await second.actions.leave();
  const third = bench(session, first.tab);
  await third.actions.open();
  await settle();
  const offered = () =>
    third.actions.store.get().offers.map((offer) => (offer.kind === "unsaved" ? offer.says[0] : ""));
  expect(offered()).toEqual(['Named the outing "first loss"', 'Named the outing "second loss"']);
  third.actions.dropOffer(third.actions.store.get().offers[0]!.id);
  expect(offered()).toEqual(['Named the outing "second loss"']);
});

it("does not offer what was saved after all, though the page did not hear of it", async () => {
  const { actions, tab, folder } = bench(session);
  await actions.open();
  await settle();
  actions.change({ kind: "set-title", title: "arrived" });
  await actions.leave();
  expect(folder.session.title).toBe("arrived");
  const kept = bench(session);
  await kept.actions.open();
  kept.actions.change({ kind: "set-title", title: "arrived" });
  kept.folder.revision = 99;
  await kept.actions.leave(); // the same step, kept in the browser
  const again = bench(session, kept.tab, folder.steps);
  await again.actions.open();
  await settle();
  expect(again.actions.store.get().offers).toEqual([]);
  expect([tab.length, kept.tab.length]).toEqual([0, 0]);
});

it("looks at an earlier state without changing anything, and refuses edits meanwhile", async () => {
  const { actions, folder } = bench(session);
  await actions.open();
  await settle();
  actions.change({ kind: "set-title", title: "now" });
  folder.moments.set("m1", { ...session, title: "this morning" });
  await actions.lookAt({ id: "m1", says: "something", at: "2026-05-01T08:00:00.000Z" });
  expect(sessionOf(actions.store.get()).title).toBe("this morning");
  actions.change({ kind: "set-title", title: "lost?" });
  actions.undo();
  expect(sessionOf(actions.store.get()).title).toBe("this morning");
  expect(actions.store.get().notices.map(({ fault }) => fault.code)).toEqual(["only-looking"]);
  await actions.saveNow();
  expect(folder.session.title).toBe("now");
  actions.endPeek();
  expect(sessionOf(actions.store.get()).title).toBe("now");
  actions.undo();
  expect(sessionOf(actions.store.get()).title).toBe("t");
});

it("goes back to an earlier state as one step of undo", async () => {
  const { actions, folder } = bench(session);
  await actions.open();
  await settle();
  actions.change({ kind: "set-title", title: "now" });
  folder.moments.set("m1", { ...session, title: "this morning" });
  await actions.lookAt({ id: "m1", says: "something", at: "2026-05-01T08:00:00.000Z" });
  actions.takePeek();
  await actions.saveNow();
  expect(folder.session.title).toBe("this morning");
  expect(folder.steps.at(-1)!.says).toBe("Went back to: something");
  actions.undo();
  expect(sessionOf(actions.store.get()).title).toBe("now");
});

it("keeps both documents in a conflict, whichever is chosen", async () => {
  const { actions, folder } = bench(session);
  await actions.open();
  await settle();
  folder.session = { ...session, title: "theirs" };
  folder.revision = 5;
  actions.change({ kind: "set-title", title: "mine" });
  await actions.saveNow();
  expect(actions.store.get().save.status).toBe("conflict");
  await actions.settleConflict("mine");
  expect([folder.session.title, actions.store.get().save.status]).toEqual(["mine", "saved"]);
  actions.undo();
  expect(sessionOf(actions.store.get()).title).toBe("theirs");
});

it("takes an answer that got lost for what it is: saved, and no conflict", async () => {
  const { actions, folder } = bench(session);
  await actions.open();
  await settle();
  actions.change({ kind: "set-title", title: "mine" });
  folder.session = sessionOf(actions.store.get()); // the save arrived, its answer did not
  folder.revision = 2;
  await actions.saveNow();
  await settle();
  expect(actions.store.get().save.status).not.toBe("conflict");
});

it("does not try to save a note of its own in a folder that is read-only, and saves it where it can", async () => {
  const note = async (access: "writable" | "read-only") => {
    const { actions, folder } = bench(session);
    const reply = await actions.service.session();
    Object.assign(actions.service, { session: async () => ({ ...reply, access }) });
    Object.assign(actions.service, {
      job: async () => ({ facts, fingerprint: `sha256-${"a".repeat(64)}`, files: null }),
    });
    await actions.open();
    await settle();
    await actions.saveNow();
    return folder.steps.map(({ kind }) => kind);
  };
  expect(await note("read-only")).toEqual([]);
  expect(await note("writable")).toEqual(["note"]);
});
