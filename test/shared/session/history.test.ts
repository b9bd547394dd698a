import { describe, expect, it } from "vitest";
import { wordsOfEdit } from "../../../src/shared/session/edit-words.ts";
import { type History, joined, redone, startHistory, undone } from "../../../src/shared/session/history.ts";
import fc from "../../support/drawn-inputs.ts";
import { edited } from "./edited.ts";
import { anyEdit, sampleSession } from "./sample-session.ts";

const AT = "2026-05-01T10:00:00.000Z";

function times(n: number, step: (history: History) => History, history: History): History {
  return n === 0 ? history : times(n - 1, step, step(history));
}

describe("undone and redone", () => {
  it("walk back to the very session before each edit and forward to the one after it", () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { minLength: 1, maxLength: 30 }), fc.nat(), (edits, pick) => {
        const start = startHistory(sampleSession());
        const steps = [start];
        for (const edit of edits) steps.push(edited(steps.at(-1)!, edit));
        const end = steps.at(-1)!;
        const n = pick % steps.length;
        const back = times(n, undone, end);
        expect(back.present).toBe(steps[steps.length - 1 - n]!.present);
        expect(times(n, redone, back).present).toBe(end.present);
        expect(times(edits.length, undone, end).present).toBe(start.present);
      }),
    );
  });

  it("drop what had been undone once something new is edited", () => {
    const one = edited(startHistory(sampleSession()), { kind: "set-title", title: "one" });
    const other = edited(undone(one), { kind: "set-title", title: "other" });
    expect(redone(other)).toBe(other);
    expect(undone(other).present.title).toBe("An afternoon");
  });

  it("return the same history when there is nothing to undo or redo", () => {
    const start = startHistory(sampleSession());
    expect(undone(start)).toBe(start);
    expect(redone(start)).toBe(start);
  });

  it("keep the newest 500 steps", () => {
    const edits = Array.from({ length: 520 }, (_, i) => ({ kind: "set-title", title: `t${i}` }) as const);
    const end = edits.reduce<History>(edited, startHistory(sampleSession()));
    expect(times(600, undone, end).present.title).toBe("t19");
  });

  it("know what each step did, whichever way it is walked", () => {
    const one = edited(startHistory(sampleSession()), { kind: "set-title", title: "one" });
    expect(one.past.map(({ says }) => says)).toEqual(['Named the outing "one"']);
    expect(undone(one).future.map(({ says }) => says)).toEqual(['Named the outing "one"']);
    expect(redone(undone(one)).past).toEqual(one.past);
  });
});

describe("joined", () => {
  it("makes a state part of the last step, and drops what had been undone", () => {
    const one = edited(startHistory(sampleSession()), { kind: "set-title", title: "one" });
    const more = joined(
      one,
      { ...one.present, title: "one more" },
      wordsOfEdit({ kind: "set-units", units: "SI" }, one.present),
      AT,
    );
    expect(more.past).toEqual(one.past);
    expect(undone(more).present.title).toBe("An afternoon");
    expect(joined(undone(one), sampleSession(), one.past[0]!, AT).past.length).toBe(1);
  });
});
