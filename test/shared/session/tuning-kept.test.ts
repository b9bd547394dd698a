import { describe, expect, it } from "vitest";
import { applyEdit, type Edit } from "../../../src/shared/session/edits.ts";
import type { ListedTuning, Session } from "../../../src/shared/session/schema.ts";
import { firstOf } from "../../support/one-of-each.ts";
import { shotsField } from "../../support/shots-field.ts";

const { session: bare } = shotsField(1, [3e5, 4e5]);
const tuning: ListedTuning = {
  launcherId: "launcher-1",
  parameters: ["slidingN"],
  shotIds: ["shot-1"],
  heldOutShotIds: ["shot-2"],
  tuned: { values: [{ value: 20, u: 2 }], correlation: [[1]], undetermined: [], scatter: 0.01, shotCount: 1 },
  use: true,
};
const session: Session = { ...bare, tunings: [tuning] };

function tuningAfter(edit: Edit): ListedTuning | undefined {
  return firstOf(applyEdit(session, edit)).tuning;
}

describe("applyEdit on a tuned session", () => {
  it("drops the tuned values, and only them, when something they rest on changes", () => {
    const shot = bare.shots[0]!;
    const edits: Edit[] = [
      { kind: "set-launcher", launcherId: "launcher-1", launcher: { ...firstOf(bare).launcher! } },
      { kind: "update-airframe", airframeId: "airframe-1", patch: { massKg: { value: 0.7, u: 0.002 } } },
      { kind: "update-camera", cameraId: "camera", patch: { exposureS: 1 / 8000 } },
      { kind: "remove-mark", shotId: "shot-1", pointId: "nose", frame: shot.marks[0]!.frame },
      { kind: "update-shot", shotId: "shot-1", patch: { plumb: null } },
    ];
    for (const edit of edits) expect(tuningAfter(edit), edit.kind).toEqual({ ...tuning, tuned: null });
  });

  it("keeps them when nothing does: names, notes, units, other shots, what is held out", () => {
    const edits: Edit[] = [
      { kind: "set-units", units: "field" },
      { kind: "update-shot", shotId: "shot-1", patch: { name: "Windy", notes: "gusts" } },
      { kind: "update-shot", shotId: "shot-2", patch: { plumb: null } },
      { kind: "update-airframe", airframeId: "airframe-1", patch: { loadLimitG: { value: 30, u: 3 } } },
    ];
    for (const edit of edits) expect(tuningAfter(edit), edit.kind).toBe(tuning);
  });

  it("takes removed shots out of its lists; values tuned on one go with it", () => {
    expect(tuningAfter({ kind: "remove-shot", shotId: "shot-2" })).toEqual({ ...tuning, heldOutShotIds: [] });
    expect(tuningAfter({ kind: "remove-shot", shotId: "shot-1" })).toEqual({
      ...tuning,
      shotIds: [],
      tuned: null,
    });
  });
});
