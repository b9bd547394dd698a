import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { edited, type History, redone, startHistory, undone } from "../../../src/shared/session/history.ts";
import { anyEdit, sampleSession } from "./sample-session.ts";

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
});
