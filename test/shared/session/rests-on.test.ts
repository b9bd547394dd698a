import { describe, expect, it } from "vitest";
import { canonicalText, digestOf } from "../../../src/shared/session/canonical-text.ts";
import { applyEdit } from "../../../src/shared/session/edits.ts";
import { shotRestsOn, tuningRestsOn } from "../../../src/shared/session/rests-on.ts";
import type { Session } from "../../../src/shared/session/schema.ts";
import { sampleSession } from "./sample-session.ts";

const session = sampleSession();
const [first, second] = session.shots;

describe("canonicalText", () => {
  it("is the same whatever the order of keys, and another for another value", () => {
    expect(canonicalText({ b: 1, a: { d: [1, { f: 2, e: 3 }], c: 4 } })).toBe(
      '{"a":{"c":4,"d":[1,{"e":3,"f":2}]},"b":1}',
    );
    expect(canonicalText({ a: undefined })).toBe("{}");
  });
});

describe("digestOf", () => {
  it("gives FNV-1a of the text's UTF-16 bytes as its first half", () => {
    // FNV-1a, 32 bits, of no bytes is the offset basis; of the bytes 61 00 worked by hand
    // with the prime 16777619.
    expect(digestOf("").slice(0, 8)).toBe("811c9dc5");
    const byHand = [0x61, 0x00].reduce((hash, byte) => Math.imul(hash ^ byte, 16777619) >>> 0, 0x811c9dc5);
    expect(digestOf("a").slice(0, 8)).toBe(byHand.toString(16).padStart(8, "0"));
    expect(digestOf("a")).toHaveLength(16);
  });
});

describe("tuningRestsOn", () => {
  const of = (one: Session) => tuningRestsOn(one, "launcher-1", [first!.id]);
  it("changes with the launcher, the airframe's mass, a camera and the shots tuned on", () => {
    const heavier = applyEdit(session, {
      kind: "update-airframe",
      airframeId: "airframe-1",
      patch: { massKg: { value: 3, u: 0.1 } },
    });
    const turned = applyEdit(session, {
      kind: "update-shot",
      shotId: first!.id,
      patch: { direction: "left" },
    });
    const none = applyEdit(session, { kind: "remove-launcher", launcherId: "launcher-1" });
    expect(new Set([session, heavier, turned, none].map(of)).size).toBe(4);
  });
  it("does not change with names, notes, the title, or a shot that has no part in it", () => {
    const same = [
      applyEdit(session, { kind: "set-title", title: "other" }),
      applyEdit(session, {
        kind: "update-shot",
        shotId: first!.id,
        patch: { name: "other", notes: "other" },
      }),
      applyEdit(session, { kind: "update-shot", shotId: second!.id, patch: { direction: "left" } }),
      JSON.parse(JSON.stringify(session)) as Session,
    ];
    expect(same.map(of)).toEqual(same.map(() => of(session)));
  });
});

describe("shotRestsOn", () => {
  const of = (one: Session) => shotRestsOn(one, first!.id);
  it("changes with the units, the shot's marks and the launcher, and not with another shot", () => {
    const units = applyEdit(session, { kind: "set-units", units: session.units === "SI" ? "field" : "SI" });
    const turned = applyEdit(session, {
      kind: "update-shot",
      shotId: first!.id,
      patch: { direction: "left" },
    });
    const other = applyEdit(session, {
      kind: "update-shot",
      shotId: second!.id,
      patch: { direction: "left" },
    });
    expect(new Set([session, units, turned].map(of)).size).toBe(3);
    expect(of(other)).toBe(of(session));
  });
});
