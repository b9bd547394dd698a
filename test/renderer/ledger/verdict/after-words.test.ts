import { expect, it } from "vitest";
import { modelSays, verdictSays } from "../../../../src/renderer/ledger/parts/sentences.ts";
import { afterSays } from "../../../../src/renderer/ledger/verdict/after-words.ts";
import type { Quantity, Unit } from "../../../../src/shared/quantity/measured.ts";
import type { Measurement, ShotResult } from "../../../../src/shared/results/shot-result.ts";

const q = (value: number, u: number, unit: Unit): Quantity => ({ value, u, unit, how: "" });
const resultOf = (quantities: Measurement["quantities"]): ShotResult => ({
  shotId: "one",
  measurement: { quantities } as Measurement,
  prediction: null,
  comparison: null,
  notices: [],
});

it("says what the wing carries and how far it may be banked", () => {
  expect(afterSays(resultOf({ liftAvailable: q(2.853, 0.05, "1") }), "SI")).toEqual([
    "At release the wing can carry 2.85 ± 0.05 times the weight: a level turn banked up to 69° is within it.",
  ]);
  expect(afterSays(resultOf({ liftAvailable: q(1.2, 0.05, "1") }), "SI")[0]).toMatch(
    /a turn banked beyond 33° sinks or stalls\.$/,
  );
  expect(afterSays(resultOf({ liftAvailable: q(0.8, 0.05, "1") }), "SI")[0]).toMatch(
    /it cannot be flown level yet\.$/,
  );
});

it("calls the pitch a bound, and the fall the time there is to take over", () => {
  const [pitch, ground] = afterSays(
    resultOf({ pitchAfterOneSecond: q(-0.6, 0.02, "rad"), timeToGround: q(0.94, 0.03, "s") }),
    "SI",
  );
  expect(pitch).toMatch(
    /would stand at −34\.4 ± 1\.1° after a second; the air damps it, so this is a bound\.$/,
  );
  expect(ground).toBe(
    "Without any control it reaches the ground 0.94 ± 0.03 s after release: that is the time there is to take over.",
  );
  expect(afterSays(null, "SI")).toEqual([]);
});

it("asks nothing of a launcher without a model", () => {
  const byHand = { kind: "no-model", name: "" } as const;
  expect(modelSays(byHand, resultOf({}), "SI")).toEqual({
    text: "A throw by hand: no model; the measurement stands alone.",
    done: true,
  });
  expect(verdictSays(resultOf({}), byHand)).toEqual({
    text: "Measured; without a model the measurement stands alone.",
    done: true,
  });
  expect(verdictSays(resultOf({}), null).done).toBe(false);
});
