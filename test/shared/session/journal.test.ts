import { expect, it } from "vitest";
import { wordsOfEdit } from "../../../src/shared/session/edit-words.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import {
  done,
  type History,
  joined,
  redone,
  startHistory,
  undone,
} from "../../../src/shared/session/history.ts";
import {
  afterSteps,
  type JournalStep,
  JournalStepSchema,
  replaySteps,
} from "../../../src/shared/session/journal.ts";
import { patchBetween } from "../../../src/shared/session/patch.ts";
import fc from "../../support/drawn-inputs.ts";
import { anyEdit, sampleSession } from "./sample-session.ts";

const AT = "2026-05-01T10:00:00.000Z";
type Act =
  | { readonly kind: "do" | "joins"; readonly edit: Parameters<typeof applyEdit>[1] }
  | { readonly kind: "undo" | "redo" };

const anyAct: fc.Arbitrary<Act> = fc.oneof(
  fc.record({ kind: fc.constantFrom("do" as const, "joins" as const), edit: anyEdit }),
  fc.record({ kind: fc.constantFrom("undo" as const, "redo" as const) }),
);

/** What a window does with an act, and the step it sends: none when nothing changes. */
function acted(history: History, act: Act): readonly [History, JournalStep | null] {
  const next = after(history, act);
  if (next.present === history.present) return [history, null];
  const words = "edit" in act ? wordsOfEdit(act.edit, history.present) : { says: act.kind, place: PLACE };
  return [next, { ...words, kind: act.kind, at: AT, patch: patchBetween(history.present, next.present) }];
}
const PLACE = { shotId: null, frame: null, heading: null };

function after(history: History, act: Act): History {
  if (!("edit" in act)) return act.kind === "undo" ? undone(history) : redone(history);
  const session = applyEdit(history.present, act.edit);
  const words = wordsOfEdit(act.edit, history.present);
  return (act.kind === "joins" ? joined : done)(history, session, words, AT);
}

it("brings the whole stack of undo back from the steps, after a journey over the wire", () => {
  fc.assert(
    fc.property(fc.array(anyAct, { maxLength: 40 }), (acts) => {
      let history = startHistory(sampleSession());
      const steps: JournalStep[] = [];
      for (const act of acts) {
        const [next, step] = acted(history, act);
        history = next;
        if (step !== null) steps.push(JournalStepSchema.parse(JSON.parse(JSON.stringify(step))));
      }
      const back = replaySteps(sampleSession(), steps);
      const plain = (value: unknown) => JSON.parse(JSON.stringify(value));
      expect(plain(back.present)).toEqual(plain(history.present));
      expect(plain(back.past.map(({ session }) => session))).toEqual(
        plain(history.past.map(({ session }) => session)),
      );
      expect(plain(back.future)).toEqual(plain(history.future));
      expect(plain(afterSteps(sampleSession(), steps))).toEqual(plain(history.present));
    }),
  );
});

it("counts a step back beyond the journal's beginning as a step of its own", () => {
  const [a, b] = [sampleSession(), { ...sampleSession(), title: "before all" }];
  const step = { kind: "undo", says: "undo", place: PLACE, at: AT, patch: patchBetween(a, b) } as const;
  const history = replaySteps(a, [step]);
  expect(history.present.title).toBe("before all");
  expect(history.past.map(({ session }) => session.title)).toEqual([a.title]);
});

it("keeps a note of a clip in every state of the stack, as no step of undo", () => {
  const start = sampleSession();
  const clip = { name: "one.mp4", bytes: 5, fingerprint: `sha256-${"a".repeat(64)}` };
  const titled = { ...start, title: "titled" };
  const noted = applyEdit(titled, { kind: "note-clip", clip });
  const steps = [
    { kind: "do", says: "did", place: PLACE, at: AT, patch: patchBetween(start, titled) },
    { kind: "note", says: "noted", place: PLACE, at: AT, patch: patchBetween(titled, noted) },
  ] as const;
  const history = replaySteps(start, steps);
  expect(history.present).toEqual(noted);
  expect(history.past.map(({ session }) => [session.title, session.clips])).toEqual([[start.title, [clip]]]);
});
