import { describe, expect, it } from "vitest";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { applyPatch, type Json, patchBetween, sameJson } from "../../../src/shared/session/patch.ts";
import fc from "../../support/drawn-inputs.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { anyEdit, mark, sampleSession } from "./sample-session.ts";

/** Any JSON but for the one key that no document may have. */
const json = (fc.jsonValue({ maxDepth: 4 }) as fc.Arbitrary<Json>).filter(
  (value) => !JSON.stringify(value).includes("__proto__"),
);
/** As a document is after it has gone over the wire: JSON has no minus zero. */
const sent = <T>(value: T): T => JSON.parse(JSON.stringify(value));

describe("patchBetween and applyPatch", () => {
  it("lead from any JSON document to any other, also over the wire", () => {
    fc.assert(
      fc.property(json.map(sent), json.map(sent), (before, after) => {
        const kept = sent(before);
        expect(applyPatch(before, sent(patchBetween(before, after)))).toEqual(after);
        expect(before).toEqual(kept);
      }),
      { numRuns: 500 },
    );
  });

  it("lead from a session to the one after any edit, and back", () => {
    fc.assert(
      fc.property(fc.array(anyEdit, { maxLength: 8 }), (edits) => {
        const before = sampleSession();
        const after = edits.reduce(applyEdit, before);
        expect(applyPatch(before, sent(patchBetween(before, after)))).toEqual(sent(after));
        expect(applyPatch(after, sent(patchBetween(after, before)))).toEqual(before);
      }),
    );
  });

  it("name one mark put into the middle of many as one cut of a list, whatever the number", () => {
    const many = Array.from({ length: 60_000 }, (_, i) => mark("nose", 2 * i, i, i));
    const [shot] = sampleSession().shots;
    const before = { ...sampleSession(), shots: [{ ...shot!, marks: many }] };
    const added = mark("nose", 30_001, 5, 6);
    const after = applyEdit(before, { kind: "set-mark", shotId: shot!.id, mark: added });
    expect(patchBetween(before, after)).toEqual([
      { at: ["shots", 0, "marks"], cut: [15_001, 0], put: [added] },
    ]);
  });

  it("leave what they do not touch the same object, and copy a list once for many changes in it", () => {
    const before = sampleSession();
    const after = { ...before, shots: before.shots.map((shot) => ({ ...shot, marks: shot.marks.slice(1) })) };
    const made = applyPatch(before, patchBetween(before, after));
    expect(firstOf(made).airframe).toBe(firstOf(before).airframe);
    expect(made.shots[0]!.clock).toBe(before.shots[0]!.clock);
    expect(made.shots[0]!.marks[0]).toBe(before.shots[0]!.marks[1]);
  });

  it("tell a key that is called as something every object has", () => {
    expect(patchBetween({ valueOf: 1 }, {})).toEqual([{ at: ["valueOf"], drop: true }]);
    expect(patchBetween({}, { toString: 1 })).toEqual([{ at: ["toString"], set: 1 }]);
    expect(sameJson({ valueOf: null }, { constructor: null })).toBe(false);
  });

  it("take undefined for absent", () => {
    expect(patchBetween({ a: 1, b: undefined }, { a: 1 })).toEqual([]);
    expect(patchBetween({ a: 1, b: 2 }, { a: 1, b: undefined })).toEqual([{ at: ["b"], drop: true }]);
  });

  it.each([
    ["a place that is not there", [{ at: ["nowhere", "x"], set: 1 }]],
    ["a place below a number", [{ at: ["n", "x"], set: 1 }]],
    ["a list's value past its end", [{ at: ["list", 3], set: 1 }]],
    ["a cut past a list's end", [{ at: ["list"], cut: [2, 2] as const, put: [] }]],
    ["a cut of no list", [{ at: ["dict"], cut: [0, 0] as const, put: [] }]],
    ["a key to drop that is not there", [{ at: ["other"], drop: true as const }]],
    ["a list's value to drop", [{ at: ["list", 0], drop: true as const }]],
    ["the prototype", [{ at: ["__proto__"], set: { polluted: 1 } }]],
    ["something of the prototype", [{ at: ["constructor", "prototype", "x"], set: 1 }]],
  ])("refuse %s", (_, patch) => {
    const document = { n: 1, list: [1, 2, 3], dict: {} };
    expect(() => applyPatch(document, patch)).toThrow(RangeError);
    expect(document).toEqual({ n: 1, list: [1, 2, 3], dict: {} });
    expect(({} as Record<string, unknown>).x).toBeUndefined();
  });
});

describe("sameJson", () => {
  it("does not mind the order of keys or keys that are undefined, and minds everything else", () => {
    expect(sameJson({ a: 1, b: [1, { c: 2 }] }, { b: [1, { c: 2 }], a: 1, d: undefined })).toBe(true);
    expect(sameJson({ a: 1 }, { a: 1, b: null })).toBe(false);
    expect(sameJson([1, 2], [2, 1])).toBe(false);
    expect(sameJson([], {})).toBe(false);
  });
});
